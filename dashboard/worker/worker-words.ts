/** The worker's few words, in the language that the page speaks unless another was chosen on it; all the others stay out of it. */
import { CALLED as DE } from '../words/de.ts';
import { CALLED as EN } from '../words/en.ts';
import { language } from '../words/language.ts';

export const CALLED = { en: EN, de: DE }[language];
