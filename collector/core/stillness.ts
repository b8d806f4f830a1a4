/**
 * Whether the kiln stands or falls: a sequential test on the climb that the readings show. Page's cumulative sum
 * (Biometrika 41, 1954): what the climb lies below a reference is summed up, what it lies above it is taken off, and
 * never more than there is; a sum beyond the decision interval is a stall. Two of them look at once: a quick one with a
 * reference so far below the plan's figure that the sawtooth's rest and chance seldom get there, and a slow one close to
 * the figure, for a kiln that stands so quietly that the quick one never sees it. The false-alarm rate that comes of them
 * is measured, `tests/score.md`: about 2 in 100 hours of firing. Nothing need be logged for it.
 */
import { whyNoStall } from '../../alerts/may-stall.ts';
import type { KilnView } from '../../alerts/view.ts';
import { MINUTE_MS } from '../../protocol/units.ts';

/** Reference below the plan's figure, °C/h, and decision interval, °C/h times minutes. Chosen by the score. */
interface Page {
  belowCPerH: number;
  decision: number;
}
const QUICK: Page = { belowCPerH: 19, decision: 18 };
const SLOW: Page = { belowCPerH: 2, decision: 350 };
/** A sum goes no further, so that it finds back. */
const MOST_OF_DECISION = 1.2;
/** Between two looks further apart than this nobody knows how it went: only so much is counted. */
const LONGEST_STEP_MS = 5 * MINUTE_MS;

/** A sum, and when it last left nought. */
interface Sum {
  sum: number;
  since: number | null;
}

interface Sums {
  quick: Sum;
  slow: Sum;
}

export interface Stillness {
  at: number | null;
  stands: Sums;
  falls: Sums;
}

const newSums = (): Sums => ({ quick: { sum: 0, since: null }, slow: { sum: 0, since: null } });

export function newStillness(): Stillness {
  return { at: null, stands: newSums(), falls: newSums() };
}

/** The next value of Page's sum, one-sided, for an excess over the reference. */
export function pageSum(sum: number, excess: number): number {
  return Math.max(0, sum + excess);
}

function take(
  of: Sum,
  { belowCPerH, decision }: Page,
  missingCPerH: number,
  at: number,
  stepMs: number,
): void {
  const excess = ((missingCPerH - belowCPerH) * stepMs) / MINUTE_MS;
  of.sum = Math.min(pageSum(of.sum, excess), MOST_OF_DECISION * decision);
  if (of.sum === 0) of.since = null;
  else of.since ??= at;
}

/** Takes the kiln's climb as it is at `view.at`; a gap in the figures says nothing. */
export function followStillness(stillness: Stillness, view: Omit<KilnView, 'still'>): void {
  const { at, kiln, plan } = view;
  const stepMs = stillness.at === null ? 0 : Math.min(Math.max(at - stillness.at, 0), LONGEST_STEP_MS);
  stillness.at = at;
  if (whyNoStall(view) !== null) {
    stillness.stands = newSums();
    stillness.falls = newSums();
    return;
  }
  if (kiln.shownCPerH === null) return;
  const { stands, falls } = stillness;
  for (const [sums, figureCPerH] of [
    [stands, plan.stallCPerH],
    [falls, -plan.stallCPerH],
  ] as const) {
    take(sums.quick, QUICK, figureCPerH - kiln.shownCPerH, at, stepMs);
    take(sums.slow, SLOW, figureCPerH - kiln.shownCPerH, at, stepMs);
  }
}

function say({ quick, slow }: Sums, at: number): KilnView['still']['stands'] {
  const slowly = slow.sum >= SLOW.decision;
  const quickly = quick.sum >= QUICK.decision;
  const { since } = slowly ? slow : quick;
  return { sure: slowly || quickly, forMs: since === null ? 0 : at - since };
}

/** What the tests say at `at`: whether it is so, and for how long it has looked so, ms. */
export function stillnessAt({ stands, falls }: Stillness, at: number): KilnView['still'] {
  return { stands: say(stands, at), falls: say(falls, at) };
}
