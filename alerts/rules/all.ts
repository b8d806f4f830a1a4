/** Every rule, in the order in which they are put to the kiln: the more urgent of a pair first. */
import type { Rule } from '../rule.ts';
import { climbTooFast, coolingTooFast } from './climb.ts';
import { overHeat, uneven } from './heat.ts';
import { archiveTrouble, boardHot, linkSilent, probeFault } from './instruments.ts';
import { phoneSilent } from './phones.ts';
import { drawDue, saltingSoon, saltingWindow, saltPause } from './salting.ts';
import { falling, stall } from './stall.ts';
import { readyToUnbrick, stokeDue } from './tending.ts';

export const ALL_RULES: readonly Rule[] = [
  stall,
  falling,
  climbTooFast,
  saltingWindow,
  saltingSoon,
  saltPause,
  overHeat,
  uneven,
  probeFault,
  boardHot,
  linkSilent,
  drawDue,
  stokeDue,
  coolingTooFast,
  readyToUnbrick,
  archiveTrouble,
  phoneSilent,
];
