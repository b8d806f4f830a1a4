/** This phone as its worker knows it, which sees nothing of what the page keeps: written down by the page. */
import { get, set } from 'idb-keyval';
import { language as asked, LANGUAGES, type Language } from './words/language.ts';
import type { PhraseBook } from './words/said.ts';

export interface ThisPhone {
  id: string;
  /** What the page speaks, and the alerts' sentences in it; null where they are said as they come. */
  language: Language;
  book: PhraseBook | null;
  /** Who is at the kiln, '' if nobody has said so; and what the phone is called in the log book. */
  who: string;
  where: string;
}

const NAME = 'this phone';

/** Never rejects: a browser that keeps nothing has no push either. */
export async function writeThisPhone(phone: ThisPhone): Promise<void> {
  await set(NAME, phone).catch(() => undefined);
}

/** Null where nothing was written down, or it is not what it should be. */
export async function readThisPhone(): Promise<ThisPhone | null> {
  const kept = await get<Partial<ThisPhone>>(NAME).catch(() => undefined);
  const { id, who = '', where = '', book = null } = kept ?? {};
  if (typeof id !== 'string' || id === '') return null;
  const language = LANGUAGES.find((one) => one === kept?.language) ?? asked;
  return { id, who: String(who), where: String(where), language, book };
}
