/** The page's words in the language that it speaks. They stand in `words/`, one file a language. */
import type * as en from './words/en.ts';
import { type Language, language, localeFor, WANTED } from './words/language.ts';
import type { PhraseBook } from './words/said.ts';

/** A language that is not the page's own is not sent to the phone. */
const spoken: { WORDS: typeof en; said(text: string): string; CALLED_BOOK: PhraseBook | null } =
  language === 'de' ? await import('./words/german.ts') : await import('./words/english.ts');
const chosen = spoken.WORDS;

export const LANGUAGE = chosen.LANGUAGE;
/** The language that was chosen, and the sentences of an alert in it (null: they are in it already), for the worker. */
export const SPOKEN_HERE = { language, book: spoken.CALLED_BOOK };
/** Dates and figures are written as in this place. */
export const LOCALE = localeFor(language, WANTED, LANGUAGE.tag);
export const LANGUAGE_NAMES: readonly (readonly [Language, string])[] = [
  ['en', 'English'],
  ['de', 'Deutsch'],
];

export const TIME = chosen.TIME;
export const UNITS = chosen.UNITS;
export const STAGE_WORDS = chosen.STAGE_WORDS;
export const PRIORITY_WORDS = chosen.PRIORITY_WORDS;
export const LINK_WORDS = chosen.LINK_WORDS;
export const STANDING_WORDS = chosen.STANDING_WORDS;
export const WAY_WORDS = chosen.WAY_WORDS;
export const SAY = chosen.SAY;
export const PHONE = chosen.PHONE;
export const SPOKEN = chosen.SPOKEN;
export const CURVE = chosen.CURVE;
export const ENTRY = chosen.ENTRY;
export const DAMPER_WORDS = chosen.DAMPER_WORDS;
export const BOOK = chosen.BOOK;
export const KIND_WORDS = chosen.KIND_WORDS;
export const SALTING = chosen.SALTING;
export const STOKING = chosen.STOKING;
export const PLAN = chosen.PLAN;
export const PLAN_SOURCES = chosen.PLAN_SOURCES;
export const WOOD_WORDS = chosen.WOOD_WORDS;
export const RESULTS = chosen.RESULTS;
export const FAULT_WORDS = chosen.FAULT_WORDS;
export const BLUSH_WORDS = chosen.BLUSH_WORDS;
export const HISTORY = chosen.HISTORY;
export const LEARN = chosen.LEARN;
export const SHEET = chosen.SHEET;
export const IMPORT = chosen.IMPORT;
export const LINK = chosen.LINK;
export const CHECK = chosen.CHECK;
export const CAUTIONS = chosen.CAUTIONS;
export const PLACE_WORDS = chosen.PLACE_WORDS;
export const GLOW_WORDS = chosen.GLOW_WORDS;

/** What the collector said, which is English, in the page's language. */
let interpreted = spoken.said;
export const said = (text: string): string => interpreted(text);

/** Sentences that are said in one room alone: the check before lighting; a firing taken over, and results. */
const ROOM_BOOKS = {
  check: async () => (await import('./words/said-check-de.ts')).SAID_CHECK_DE,
  import: async () => (await import('./words/said-import-de.ts')).SAID_IMPORT_DE,
};

/** Fetches a room's sentences: until they are there, they stand as the collector says them. */
export async function fetchRoomWords(room: keyof typeof ROOM_BOOKS): Promise<void> {
  if (language !== 'de') return;
  const [book, { saidWith }] = await Promise.all([ROOM_BOOKS[room](), import('./words/german.ts')]);
  interpreted = saidWith(book);
}

/** The words of a value that the log keeps in English; what is no such value is somebody's own word, and stays. */
export function loggedWords(value: string): string {
  return Object.hasOwn(chosen.LOGGED, value) ? chosen.LOGGED[value as keyof typeof chosen.LOGGED] : value;
}
