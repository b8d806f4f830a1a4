/** Which language the page speaks: chosen once, when it is loaded. */
import { browserStorage } from '../keep.ts';

export const LANGUAGES = ['en', 'de'] as const;
export type Language = (typeof LANGUAGES)[number];

/** The first language of `wanted` (BCP 47 tags, most wanted first) that the page has; else English. */
export function languageFor(wanted: readonly string[]): Language {
  for (const tag of wanted) {
    const found = LANGUAGES.find((one) => isOf(tag, one));
    if (found) return found;
  }
  return 'en';
}

/** The reader's own country for dates and figures, where the browser names one with this language: `de-AT`. */
export function localeFor(language: Language, wanted: readonly string[], otherwise: string): string {
  return wanted.find((tag) => isOf(tag, language)) ?? otherwise;
}

function isOf(tag: string, language: Language): boolean {
  return tag.toLowerCase().split('-')[0] === language;
}

/** Outside of a browser (a test) English is spoken, as in the United States. */
const inBrowser = typeof self !== 'undefined';

/** What the browser asks for. */
export const WANTED: readonly string[] = inBrowser ? navigator.languages : ['en-US'];

/** Of its own, and not among the settings: the words are chosen before anything else is read. */
const KEPT_AS = 'spyhole.language';

function kept(): Language | null {
  // A worker has no such store.
  if (typeof window === 'undefined') return null;
  const tag = browserStorage()?.getItem(KEPT_AS);
  return LANGUAGES.find((one) => one === tag) ?? null;
}

export const language: Language = kept() ?? languageFor(WANTED);

/** Keeps the choice, and loads the page anew in that language. */
export function speak(next: Language): void {
  browserStorage()?.setItem(KEPT_AS, next);
  location.reload();
}
