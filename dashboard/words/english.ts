/** All that a page in English needs: a file of its own, which only such a page fetches. */
import * as en from './en.ts';

export const WORDS = en;
/** The collector speaks English. */
export const said = (text: string): string => text;
export const CALLED_BOOK = null;
