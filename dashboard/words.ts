/** The page's words in the language that it speaks. They stand in `words/`, one file a language. */
import * as de from './words/de.ts';
import * as en from './words/en.ts';
import { type Language, language, localeFor, WANTED } from './words/language.ts';
import { interpreter } from './words/said.ts';
import { SAID_DE, SLOTS_DE } from './words/said-de.ts';

const LANGUAGE_WORDS: Record<Language, typeof en> = { en, de };
const chosen = LANGUAGE_WORDS[language];

export const LANGUAGE = chosen.LANGUAGE;
/** Dates and figures are written as in this place. */
export const LOCALE = localeFor(language, WANTED, LANGUAGE.tag);
export const LANGUAGE_NAMES: readonly (readonly [Language, string])[] = [
  ['en', en.LANGUAGE.name],
  ['de', de.LANGUAGE.name],
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
export const CALLED = chosen.CALLED;
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
export const SHEET = chosen.SHEET;
export const IMPORT = chosen.IMPORT;
export const LINK = chosen.LINK;
export const CHECK = chosen.CHECK;
export const CAUTIONS = chosen.CAUTIONS;
export const PLACE_WORDS = chosen.PLACE_WORDS;
export const GLOW_WORDS = chosen.GLOW_WORDS;

/** What the collector said, which is English, in the page's language. */
export const said: (text: string) => string =
  language === 'de' ? interpreter(SAID_DE, SLOTS_DE) : (text) => text;

/** The words of a value that the log keeps in English; what is no such value is somebody's own word, and stays. */
export function loggedWords(value: string): string {
  return Object.hasOwn(chosen.LOGGED, value) ? chosen.LOGGED[value as keyof typeof chosen.LOGGED] : value;
}
