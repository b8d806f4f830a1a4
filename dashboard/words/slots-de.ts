/** Spans and figures of the collector's sentences, in German. */
import type { SlotWords } from './said.ts';

const UNITS = [
  [/\b1 second\b/, '1 Sekunde'],
  [/\bseconds\b/, 'Sekunden'],
  [/\b1 minute\b/, '1 Minute'],
  [/\bminutes\b/, 'Minuten'],
  [/\b1 day\b/, '1 Tag'],
  [/\bdays\b/, 'Tage'],
] as const;

export const SLOTS_DE: SlotWords = {
  span: (text) => UNITS.reduce((so, [english, german]) => so.replace(english, german), text),
  decimal: (text) => text.replace('.', ','),
};
