/**
 * The rules of the score: when a stall is found, when an alert is false, how far off the salting window is. Times are
 * minutes since the start of a firing, on one scale for truth and alerts.
 */
import type { Stage } from '../../protocol/stages.ts';

/** A stretch of minutes: `from` is its first minute, `to` its last. */
export interface Stretch {
  from: number;
  to: number;
}

/** Stalls: the true climb is below this, for so long; lows closer together than that are one. */
export const STALL_CLIMB_C_PER_H = 11;
const STALL_LASTS_MIN = 20;
const ONE_STALL_WITHIN_MIN = 20;
/** An alert may come so much before the onset and find the stall all the same. */
const EARLY_MIN = 15;
/** What is raised again so soon counts once. */
const RAISED_AGAIN_WITHIN_MIN = 20;
/** No salting window raised so near to the true crossing: a miss. */
const CROSSING_WITHIN_MIN = 60;
/** No heat is lost faster than this where the salting start is truly crossed. */
const CROSSING_CLIMB_C_PER_H = -11;

/**
 * True stalls in a minute's series: the climb is low while truly climbing. Lows less than 20 min apart are joined, then
 * what lasts 20 min and more is a stall. A climb that is not known (NaN) is not low.
 */
export function stallsIn(minutes: readonly { stage: Stage; climbCPerH: number }[]): Stretch[] {
  const lows: Stretch[] = [];
  minutes.forEach(({ stage, climbCPerH }, minute) => {
    if (stage !== 'climbing' || !(climbCPerH < STALL_CLIMB_C_PER_H)) return;
    const last = lows.at(-1);
    if (last && minute - last.to <= ONE_STALL_WITHIN_MIN) last.to = minute;
    else lows.push({ from: minute, to: minute });
  });
  return lows.filter(({ from, to }) => to - from + 1 >= STALL_LASTS_MIN);
}

export interface FoundStalls {
  stalls: { stall: Stretch; delayMin: number | null }[];
  /** When each false alert was raised. */
  falseAt: number[];
}

/**
 * A raise of `stall` or `falling` finds each stall from 15 min before whose onset to whose end it comes; the first one
 * gives the delay. One that finds none is false, unless it only says again what was raised within 20 min before it.
 */
export function findStalls(stalls: readonly Stretch[], raisedAt: readonly number[]): FoundStalls {
  const finds = (at: number, { from, to }: Stretch) => at >= from - EARLY_MIN && at <= to;
  const inOrder = [...raisedAt].sort((a, b) => a - b);
  return {
    stalls: stalls.map((stall) => {
      const first = inOrder.find((at) => finds(at, stall));
      return { stall, delayMin: first === undefined ? null : first - stall.from };
    }),
    falseAt: falseRaises(inOrder, (at) => stalls.some((stall) => finds(at, stall))),
  };
}

/** The raises that are not true, but for those within 20 min of one that is true or was counted. */
export function falseRaises(raisedAt: readonly number[], isTrue: (at: number) => boolean): number[] {
  const counted: number[] = [];
  let saidAt = Number.NEGATIVE_INFINITY;
  for (const at of [...raisedAt].sort((a, b) => a - b)) {
    const again = at - saidAt <= RAISED_AGAIN_WITHIN_MIN;
    if (isTrue(at)) saidAt = at;
    else if (!again) {
      saidAt = at;
      counted.push(at);
    }
  }
  return counted;
}

/**
 * The true crossing of the salting start: the first minute at which the centred 21 min mean is at or above it while the
 * climb is above -11 °C/h; null if there is none. A mean that reaches beyond the series is not known.
 */
export function crossingIn(
  minutes: readonly { meanC: number; climbCPerH: number }[],
  startC: number,
): number | null {
  const half = 10;
  for (let minute = half; minute + half < minutes.length; minute += 1) {
    const around = minutes.slice(minute - half, minute + half + 1);
    const meanC = around.reduce((sum, each) => sum + each.meanC, 0) / around.length;
    if (meanC >= startC && (minutes[minute]?.climbCPerH ?? Number.NaN) > CROSSING_CLIMB_C_PER_H)
      return minute;
  }
  return null;
}

export type WindowFound = { errorMin: number } | 'missed';

/** The first window raised within 60 min of the crossing; its sign: positive is late. */
export function windowError(crossingAt: number, raisedAt: readonly number[]): WindowFound {
  const near = [...raisedAt]
    .sort((a, b) => a - b)
    .find((at) => Math.abs(at - crossingAt) <= CROSSING_WITHIN_MIN);
  return near === undefined ? 'missed' : { errorMin: near - crossingAt };
}

/** The most raises in any stretch of `withinMin`. */
export function mostWithin(raisedAt: readonly number[], withinMin: number): number {
  const inOrder = [...raisedAt].sort((a, b) => a - b);
  let most = 0;
  let first = 0;
  inOrder.forEach((at, i) => {
    while (at - (inOrder[first] ?? at) >= withinMin) first += 1;
    most = Math.max(most, i - first + 1);
  });
  return most;
}

/** The value below which the part `share` of the values lies, linear between ranks; NaN of none. */
export function quantile(values: readonly number[], share: number): number {
  const inOrder = [...values].sort((a, b) => a - b);
  const rank = share * (inOrder.length - 1);
  const below = inOrder[Math.floor(rank)] ?? Number.NaN;
  const above = inOrder[Math.ceil(rank)] ?? Number.NaN;
  return below + (above - below) * (rank - Math.floor(rank));
}
