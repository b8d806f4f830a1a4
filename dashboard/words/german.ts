/** All that a page in German needs beyond the English one: a file of its own, which only such a page fetches. */
import * as de from './de.ts';
import { interpreter, type PhraseBook } from './said.ts';
import { SAID_DE } from './said-de.ts';
import { SAID_LINKS_DE } from './said-links-de.ts';
import { SLOTS_DE } from './slots-de.ts';

export const WORDS = de;

/** What an alert can say: the page hands it to its worker, which would carry it for nothing where English is spoken. */
export const CALLED_BOOK: PhraseBook | null = SAID_DE;

let book: PhraseBook = { ...SAID_DE, ...SAID_LINKS_DE };
export const said = interpreter(book, SLOTS_DE);

/** What puts the collector's words into German with a room's own sentences beside all that were known before. */
export function saidWith(more: PhraseBook): (text: string) => string {
  book = { ...book, ...more };
  return interpreter(book, SLOTS_DE);
}
