/**
 * Turning points of the quick heat. A stoke shows as a dip and a rise; then the heat peaks and begins to go down; a closed
 * kiln that cools shows neither. The peak is found as it happens: evidence is gathered for as long as the gas rises no
 * faster than the kiln climbs, and a sharp fall is taken for the dip of a stoke, not for a peak. Its figures are our own
 * choice, made on simulated firings: `npm run score` says what others are worth.
 */
import { MINUTE_MS, SECOND_MS } from '../../protocol/units.ts';
import { followQuickHeat, newQuickHeat, type QuickHeat, quickHeatSd, startQuickHeat } from './quick-heat.ts';

/** A longer gap between readings than this: the turns in it were not seen. */
export const UNSEEN_MS = 5 * MINUTE_MS;
/** The kiln's own climb is the mean of the slope over about this long; no kiln climbs faster than the other, °C/s. */
const CLIMB_MEAN_S = 1500;
const FASTEST_CLIMB_C_PER_S = 200 / 3600;
/** The peak: the slope is below this part of the climb; evidence counts up to this a second, and so much is enough. */
const CLIMB_PART = 0.75;
const MOST_EVIDENCE = 0.3;
const LEAST_EVIDENCE = -2;
const ENOUGH_EVIDENCE = 8;
/** A fall as fast as this part of the fastest rise before it, and sure by so many deviations, is a stoke's dip. */
const DIP_PART = 0.6;
const DIP_SD = 1.3;
/** A rise counts from here on: °C, deviations of the couple's temperature, and a part of the last rises. */
const LEAST_RISE_C = 2.5;
const RISE_SD = 3;
const RISE_PART = 0.4;
/** A rise by so much over the kiln's own climb counts however slow it is. */
const SLOW_RISE_C = 4;
const SLOW_RISE_SD = 4;
/** A stoke's fall is steepest this long after the wood went in, seen through a couple. */
const STEEPEST_AFTER_MS = 40 * SECOND_MS;
/** The usual rise and interval are the medians of so many, and not told with fewer than three. */
const REMEMBERED = 6;
/** A longer time between two lows than this is no rhythm. */
const LONGEST_INTERVAL_MS = 40 * MINUTE_MS;
/** One probe's step may differ from the middle one's by so much; a larger one is a fault's, °C. */
const STEP_OFF_C = 15;
/** A larger step from one reading to the next is no kiln's: another couple, or another place for it. */
const JUMP_C = 60;

export interface Turns {
  heat: QuickHeat;
  /** Last values by probe, and the sum of the steps that they share. */
  lastC: ReadonlyMap<string, number>;
  sharedC: number;
  climbCPerS: number;
  rising: boolean | null;
  /** Highest gas of this rise, or lowest of this fall, °C, and when. */
  extremeC: number;
  extremeAt: number;
  /** Where this rise began, and its highest, as the couples show it, °C; and its fastest slope over the climb, °C/s. */
  bottomC: number;
  bottomAt: number;
  topC: number;
  fastest: number;
  evidence: number;
  /** The steepest fall since the last low. */
  steepest: number;
  steepestAt: number | null;
  /** The last low, the last stoke that it stands for, the last peak and when that was noticed; epoch ms. */
  lowAt: number | null;
  stokeAt: number | null;
  highAt: number | null;
  noticedAt: number | null;
  /** The last rises, °C, and the last times between lows, ms. */
  rises: number[];
  intervals: number[];
}

export function newTurns(): Turns {
  return {
    heat: newQuickHeat(),
    lastC: new Map(),
    sharedC: 0,
    climbCPerS: 0,
    rising: null,
    extremeC: 0,
    extremeAt: 0,
    bottomC: 0,
    bottomAt: 0,
    topC: 0,
    fastest: 0,
    evidence: 0,
    steepest: 0,
    steepestAt: null,
    lowAt: null,
    stokeAt: null,
    highAt: null,
    noticedAt: null,
    rises: [],
    intervals: [],
  };
}

/**
 * Takes the screened temperatures of the probes that speak for the kiln, °C by name. The answer is the turn that shows by
 * now, if one does: a `low` (a stoke, at `stokeAt`) or a `high` (the heat has peaked, at `highAt`).
 */
export function followTurns(
  turns: Turns,
  at: number,
  probesC: ReadonlyMap<string, number>,
): 'low' | 'high' | null {
  const { heat } = turns;
  if (heat.at === null || at - heat.at > UNSEEN_MS) {
    turns.lastC = probesC;
    turns.sharedC = mean([...probesC.values()]);
    startAnew(turns, at);
    return null;
  }
  const forS = Math.max(0, at - heat.at) / SECOND_MS;
  const step = sharedStep(turns.lastC, probesC);
  turns.sharedC += step;
  turns.lastC = probesC;
  if (Math.abs(step) > JUMP_C) {
    startAnew(turns, at);
    return null;
  }
  followQuickHeat(heat, at, turns.sharedC);
  turns.climbCPerS += (1 - Math.exp(-forS / CLIMB_MEAN_S)) * (heat.slopeCPerS - turns.climbCPerS);
  return turnAt(turns, at, forS);
}

/** What was before is no part of what comes: neither its heat nor its fall. */
function startAnew(turns: Turns, at: number): void {
  turns.rising = null;
  turns.steepest = 0;
  turns.steepestAt = null;
  startQuickHeat(turns.heat, at, turns.sharedC);
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / Math.max(1, values.length);
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)] ?? 0;
}

/** The mean step of the probes that speak now and spoke before, so that none that comes or goes makes a jump. */
function sharedStep(before: ReadonlyMap<string, number>, now: ReadonlyMap<string, number>): number {
  const steps: number[] = [];
  let [least, most] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (const [probe, tempC] of now) {
    const was = before.get(probe);
    if (was === undefined) continue;
    const step = tempC - was;
    steps.push(step);
    least = Math.min(least, step);
    most = Math.max(most, step);
  }
  // As nearly always: then none can be so far from the middle one.
  if (most - least <= STEP_OFF_C) return mean(steps);
  const middle = median(steps);
  return mean(steps.map((step) => Math.min(middle + STEP_OFF_C, Math.max(middle - STEP_OFF_C, step))));
}

function turnAt(turns: Turns, at: number, forS: number): 'low' | 'high' | null {
  const { slopeCPerS: slope, coupleC, gasC } = turns.heat;
  const sds = quickHeatSd(turns.heat);
  const climb = Math.max(0, Math.min(FASTEST_CLIMB_C_PER_S, turns.climbCPerS));
  const leastRise = Math.max(LEAST_RISE_C, RISE_SD * sds.coupleSd, RISE_PART * usualRise(turns, at));
  if (slope < turns.steepest) {
    turns.steepest = slope;
    turns.steepestAt = at;
  }
  if (turns.rising === null) {
    turns.rising = slope >= 0;
    turns.topC = coupleC;
    turns.bottomC = coupleC;
    turns.bottomAt = at;
    turns.fastest = 0;
    markExtreme(turns, at);
    return null;
  }
  if (turns.rising) {
    turns.fastest = Math.max(turns.fastest, slope - climb);
    turns.topC = Math.max(turns.topC, coupleC);
    if (gasC >= turns.extremeC) markExtreme(turns, at);
    if (turns.topC - turns.bottomC < leastRise) return null;
    if (slope < climb - Math.max(DIP_PART * turns.fastest, DIP_SD * sds.slopeSd)) {
      beginFall(turns, at);
      return null;
    }
    const below = (CLIMB_PART * climb - slope) / sds.slopeSd;
    const counts = Math.max(LEAST_EVIDENCE, Math.min(MOST_EVIDENCE, below));
    turns.evidence = Math.max(0, turns.evidence + forS * counts);
    if (turns.evidence < ENOUGH_EVIDENCE) return null;
    turns.highAt = turns.extremeAt;
    turns.noticedAt = at;
    remember(turns.rises, turns.topC - turns.bottomC);
    beginFall(turns, at);
    return 'high';
  }
  if (gasC <= turns.extremeC) markExtreme(turns, at);
  if (coupleC < turns.bottomC) {
    turns.bottomC = coupleC;
    turns.bottomAt = at;
  }
  const risen = coupleC - turns.bottomC;
  const overClimb = risen - (climb * (at - turns.bottomAt)) / SECOND_MS;
  const fast = slope > climb + sds.slopeSd && risen >= leastRise;
  const slow = slope > climb && overClimb >= Math.max(SLOW_RISE_C, SLOW_RISE_SD * sds.coupleSd, leastRise);
  if (!fast && !slow) return null;
  beginRise(turns, at, slope - climb);
  return 'low';
}

function markExtreme(turns: Turns, at: number): void {
  turns.extremeC = turns.heat.gasC;
  turns.extremeAt = at;
}

function beginFall(turns: Turns, at: number): void {
  turns.rising = false;
  turns.bottomC = turns.heat.coupleC;
  turns.bottomAt = at;
  turns.evidence = 0;
  markExtreme(turns, at);
}

function beginRise(turns: Turns, at: number, fastest: number): void {
  const interval = turns.lowAt === null ? Number.POSITIVE_INFINITY : turns.extremeAt - turns.lowAt;
  if (interval < LONGEST_INTERVAL_MS) remember(turns.intervals, interval);
  turns.lowAt = turns.extremeAt;
  turns.stokeAt = (turns.steepestAt ?? turns.lowAt) - STEEPEST_AFTER_MS;
  turns.rising = true;
  turns.topC = turns.heat.coupleC;
  turns.fastest = fastest;
  turns.evidence = 0;
  turns.steepest = 0;
  turns.steepestAt = null;
  markExtreme(turns, at);
}

function remember(values: number[], value: number): void {
  values.push(value);
  if (values.length > REMEMBERED) values.shift();
}

/** The usual rise, °C; it counts for less the longer no low was seen, so that a quieter fire is found too. */
function usualRise({ rises, intervals, lowAt }: Turns, at: number): number {
  if (rises.length < 3) return 0;
  const faded =
    intervals.length < 3 || lowAt === null ? 1 : 2 - (at - lowAt) / Math.max(1, median(intervals));
  return median(rises) * Math.max(0, Math.min(1, faded));
}

/** Somebody has stoked: what falls now is a dip, and no peak. */
export function turnsStoked(turns: Turns, at: number): void {
  if (turns.rising) beginFall(turns, at);
}

/** The heat has peaked and begun to go down, and has not risen again. */
export function hasPeaked({ rising, highAt, lowAt }: Turns): boolean {
  return rising === false && highAt !== null && (lowAt === null || highAt > lowAt);
}
