/** All that a page in German needs beyond the English one: a file of its own, which only such a page fetches. */
import * as de from './de.ts';
import { interpreter } from './said.ts';
import { SAID_DE, SLOTS_DE } from './said-de.ts';

export const WORDS = de;
export const said = interpreter(SAID_DE, SLOTS_DE);
