/**
 * Whether the kiln stands or falls: a sequential test on the climb that the readings show. Page's cumulative sum
 * (Biometrika 41, 1954): what the climb lies below a reference is summed up, what it lies above it is taken off, and
 * never more than there is; a sum beyond the decision interval is a stall. Three of them look at once: a quick one with a
 * reference so far below the plan's figure that the sawtooth's rest and chance seldom get there, a steady one nearer to it,
 * and a slow one close to the figure, for a kiln that stands so quietly that the others never see it. The false-alarm rate
 * that comes of them is measured, `tests/score.md`: about 2 in 100 hours of firing. Nothing need be logged for it.
 */
import { type WhyNoStallView, whyNoStall } from '../../alerts/may-stall.ts';
import { CLEAR_BAND_C_PER_H, STALL_EASES_MS } from '../../alerts/rules/stall.ts';
import type { KilnView } from '../../alerts/view.ts';
import { MINUTE_MS } from '../../protocol/units.ts';

/** Reference below the plan's figure, °C/h, and decision interval, °C/h times minutes. Chosen by the score. */
interface Page {
  belowCPerH: number;
  decision: number;
}
const QUICK: Page = { belowCPerH: 28, decision: 2.5 };
const STEADY: Page = { belowCPerH: 5.5, decision: 195 };
const SLOW: Page = { belowCPerH: 2, decision: 450 };
/**
 * Near the top a kiln climbs slowly and comes near the figure without standing: there the references lie so much lower, the
 * slow one by a quarter of it, so that one that stands is still told of.
 */
const NEAR_TOP = { fromC: 1090, lessCPerH: 11 };
const OF_SLOW = 1 / 4;
/**
 * A stall is over for the test when the kiln has climbed for as long as its alert takes to ease; the sums begin anew. For
 * some time after that the climb swings, and the quick reference lies so much lower.
 */
const SWINGS = { forMs: 60 * MINUTE_MS, lessCPerH: 30 };
/** A sum goes no further, so that it finds back. */
const MOST_OF_DECISION = 1.2;
/** Between two looks further apart than this nobody knows how it went: only so much is counted. */
const LONGEST_STEP_MS = 5 * MINUTE_MS;

/** A sum, and when it last left nought. */
interface Sum {
  sum: number;
  since: number | null;
}

/** One test: of standing, or of falling. */
interface Test {
  quick: Sum;
  steady: Sum;
  slow: Sum;
  /** Whether it was sure, and the kiln has not climbed since. */
  found: boolean;
  climbsSince: number | null;
  swingsUntil: number;
}

export interface Stillness {
  at: number | null;
  stands: Test;
  falls: Test;
}

function newTest(): Test {
  return {
    quick: { sum: 0, since: null },
    steady: { sum: 0, since: null },
    slow: { sum: 0, since: null },
    found: false,
    climbsSince: null,
    swingsUntil: Number.NEGATIVE_INFINITY,
  };
}

export function newStillness(): Stillness {
  return { at: null, stands: newTest(), falls: newTest() };
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
  const elapsedMs = stillness.at === null ? 0 : Math.max(at - stillness.at, 0);
  const stepMs = Math.min(elapsedMs, LONGEST_STEP_MS);
  stillness.at = at;
  if (whyNoStall(view) !== null) {
    stillness.stands = newTest();
    stillness.falls = newTest();
    return;
  }
  const { shownCPerH, smoothC } = kiln;
  const unseenMs = shownCPerH === null ? elapsedMs : elapsedMs - stepMs;
  // As the alert's delays wait.
  for (const test of [stillness.stands, stillness.falls])
    if (test.climbsSince !== null) test.climbsSince += unseenMs;
  if (shownCPerH === null) return;
  const lessCPerH = smoothC !== null && smoothC > NEAR_TOP.fromC ? NEAR_TOP.lessCPerH : 0;
  for (const [test, figureCPerH] of [
    [stillness.stands, plan.stallCPerH],
    [stillness.falls, -plan.stallCPerH],
  ] as const) {
    const missingCPerH = figureCPerH - shownCPerH;
    const swingsCPerH = at < test.swingsUntil ? SWINGS.lessCPerH : 0;
    take(test.quick, QUICK, missingCPerH - lessCPerH - swingsCPerH, at, stepMs);
    take(test.steady, STEADY, missingCPerH - lessCPerH, at, stepMs);
    take(test.slow, SLOW, missingCPerH - OF_SLOW * lessCPerH, at, stepMs);
    test.found ||= surest(test) !== null;
    noteClimb(test, shownCPerH > figureCPerH + CLEAR_BAND_C_PER_H, at);
  }
}

function noteClimb(test: Test, climbs: boolean, at: number): void {
  test.climbsSince = climbs ? (test.climbsSince ?? at) : null;
  if (!test.found || test.climbsSince === null || at - test.climbsSince < STALL_EASES_MS) return;
  Object.assign(test, { ...newTest(), climbsSince: test.climbsSince, swingsUntil: at + SWINGS.forMs });
}

/** Of the sums that are sure, the slowest knows best since when. */
function surest({ quick, steady, slow }: Test): Sum | null {
  if (slow.sum >= SLOW.decision) return slow;
  if (steady.sum >= STEADY.decision) return steady;
  return quick.sum >= QUICK.decision ? quick : null;
}

function say(test: Test, at: number): KilnView['still']['stands'] {
  const sure = surest(test);
  const { since } = sure ?? test.quick;
  return { sure: sure !== null, forMs: since === null ? 0 : at - since };
}

/** What the tests say at `at`: whether it is so, and for how long it has looked so, ms. */
export function stillnessAt({ stands, falls }: Stillness, at: number): KilnView['still'] {
  return { stands: say(stands, at), falls: say(falls, at) };
}
