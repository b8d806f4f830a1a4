/**
 * Whether the kiln stands or falls: a sequential test on the climb that the readings show. Page's cumulative sum
 * (Biometrika 41, 1954): what the climb lies below a reference is summed up, what it lies above it is taken off, and
 * never more than there is; a sum beyond the decision interval is a stall. Three of them look at once: a quick one with a
 * reference so far below the plan's figure that the sawtooth's rest and chance seldom get there, a steady one nearer to it,
 * and a slow one close to the figure, for a kiln that stands so quietly that the others never see it. The false-alarm rate
 * that comes of them is measured, `tests/score.md`: about 2 in 100 hours of firing. Nothing need be logged for it.
 */
import { type WhyNoStallView, whyNoStall } from '../../alerts/may-stall.ts';
import type { KilnView } from '../../alerts/view.ts';
import { MINUTE_MS } from '../../protocol/units.ts';

/** Reference below the plan's figure, °C/h, and decision interval, °C/h times minutes. Chosen by the score. */
interface Page {
  belowCPerH: number;
  decision: number;
}
const QUICK: Page = { belowCPerH: 26, decision: 5 };
const STEADY: Page = { belowCPerH: 10, decision: 145 };
const SLOW: Page = { belowCPerH: 4, decision: 350 };
/**
 * Near the top a kiln climbs slowly and comes near the figure without standing: there the references lie so much further
 * below it, the steady one by half of that, the slow one by a quarter.
 */
const NEAR_TOP = { fromC: 1090, lessCPerH: 12 };
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
  steady: Sum;
  slow: Sum;
}

export interface Stillness {
  at: number | null;
  stands: Sums;
  falls: Sums;
}

const newSum = (): Sum => ({ sum: 0, since: null });
const newSums = (): Sums => ({ quick: newSum(), steady: newSum(), slow: newSum() });

export function newStillness(): Stillness {
  return { at: null, stands: newSums(), falls: newSums() };
}

function forget({ quick, steady, slow }: Sums): void {
  for (const of of [quick, steady, slow]) {
    of.sum = 0;
    of.since = null;
  }
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

/** What the tests go by. */
export type StillView = WhyNoStallView & Pick<KilnView, 'at'>;

/** Takes the kiln's climb as it is at `view.at`; a gap in the figures says nothing. */
export function followStillness(stillness: Stillness, view: StillView): void {
  const { at, kiln, plan } = view;
  const stepMs = stillness.at === null ? 0 : Math.min(Math.max(at - stillness.at, 0), LONGEST_STEP_MS);
  stillness.at = at;
  if (whyNoStall(view) !== null) {
    forget(stillness.stands);
    forget(stillness.falls);
    return;
  }
  if (kiln.shownCPerH === null) return;
  const isNearTop = kiln.smoothC !== null && kiln.smoothC > NEAR_TOP.fromC;
  const lessCPerH = isNearTop ? NEAR_TOP.lessCPerH : 0;
  const { stands, falls } = stillness;
  for (const [sums, figureCPerH] of [
    [stands, plan.stallCPerH],
    [falls, -plan.stallCPerH],
  ] as const) {
    take(sums.quick, QUICK, figureCPerH - lessCPerH - kiln.shownCPerH, at, stepMs);
    take(sums.steady, STEADY, figureCPerH - lessCPerH / 2 - kiln.shownCPerH, at, stepMs);
    take(sums.slow, SLOW, figureCPerH - lessCPerH / 4 - kiln.shownCPerH, at, stepMs);
  }
}

/** Of the sums that are sure, the slowest knows best since when. */
function surest({ quick, steady, slow }: Sums): Sum | null {
  if (slow.sum >= SLOW.decision) return slow;
  if (steady.sum >= STEADY.decision) return steady;
  return quick.sum >= QUICK.decision ? quick : null;
}

function say(sums: Sums, at: number): KilnView['still']['stands'] {
  const sure = surest(sums);
  const { since } = sure ?? sums.quick;
  return { sure: sure !== null, forMs: since === null ? 0 : at - since };
}

/** What the tests say at `at`: whether it is so, and for how long it has looked so, ms. */
export function stillnessAt({ stands, falls }: Stillness, at: number): KilnView['still'] {
  return { stands: say(stands, at), falls: say(falls, at) };
}
