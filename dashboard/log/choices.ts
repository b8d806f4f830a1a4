/** What the log book offers at one touch: the values as they are written down, whatever language the page speaks. */
import { DAMPER_WORDS } from '../words.ts';

/** The damper's places that have a button of their own. */
export const DAMPER_STEPS = [
  { open: 0, words: DAMPER_WORDS.shut, short: DAMPER_WORDS.shut },
  { open: 0.25, words: DAMPER_WORDS.quarter, short: '¼' },
  { open: 0.5, words: DAMPER_WORDS.half, short: '½' },
  { open: 0.75, words: DAMPER_WORDS.threeQuarters, short: '¾' },
  { open: 1, words: DAMPER_WORDS.open, short: DAMPER_WORDS.open },
] as const;

/** The weather in one touch; the rest is a note. */
export const WEATHERS = ['still air', 'light wind', 'gusty', 'rain', 'snow', 'frost'] as const;

/** Colours of a salted ring as potters say them; what else it is, a note says. */
export const RING_COLOURS = ['white', 'grey', 'tan', 'brown', 'green', 'blue'] as const;
