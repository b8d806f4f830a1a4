/**
 * For comparison with the track: other ways to a climb, from the same readings by the minute, unscreened. Each is taken
 * for a stall as the bare mean is: below the figure for 2 min while the tool says that it climbs. Their lengths are those
 * with the least error on the first set.
 */
import { STALL_CLIMB_C_PER_H } from './rules.ts';
import type { ToldMinute } from './run.ts';

const MEAN_MIN = 15;
const LINE_MIN = 30;
const FOR_MIN = 2;

/** The median of the slopes of all pairs, per step (Theil 1950, Sen 1968); NaN with fewer than two known values. */
export function theilSenSlope(values: readonly (number | null)[]): number {
  const slopes: number[] = [];
  values.forEach((late, j) => {
    if (late === null) return;
    for (let i = 0; i < j; i += 1) {
      const early = values[i] ?? null;
      if (early !== null) slopes.push((late - early) / (j - i));
    }
  });
  slopes.sort((a, b) => a - b);
  const upper = slopes[slopes.length >> 1] ?? Number.NaN;
  return slopes.length % 2 === 1 ? upper : (upper + (slopes[(slopes.length >> 1) - 1] ?? Number.NaN)) / 2;
}

/** The slope of the line by least squares, per step; NaN with fewer than two known values. */
export function lineSlope(values: readonly (number | null)[]): number {
  const known = values.flatMap((value, i) => (value === null ? [] : [{ i, value }]));
  const middle = known.reduce((sum, { i }) => sum + i, 0) / known.length;
  const over = known.reduce((sum, { i, value }) => sum + (i - middle) * value, 0);
  return over / known.reduce((sum, { i }) => sum + (i - middle) ** 2, 0);
}

/** The step between the means of the two halves, per step. */
function halvesSlope(values: readonly (number | null)[]): number {
  const half = values.length / 2;
  const meanOf = (part: readonly (number | null)[]) => {
    const known = part.flatMap((value) => value ?? []);
    return known.reduce((sum, value) => sum + value, 0) / known.length;
  };
  return (meanOf(values.slice(half)) - meanOf(values.slice(0, half))) / half;
}

export const OTHER_WAYS = {
  'moving average, 2 × 15 min': { minutes: 2 * MEAN_MIN, slope: halvesSlope },
  'line by least squares, 30 min': { minutes: LINE_MIN, slope: lineSlope },
  'robust line (Theil-Sen), 30 min': { minutes: LINE_MIN, slope: theilSenSlope },
} as const;

export type OtherWay = keyof typeof OTHER_WAYS;

/** Climbs by minute, null where the readings do not reach back far enough, and when a stall is raised. */
export function goOtherWay(way: OtherWay, told: readonly (ToldMinute | null)[], startC: number) {
  const { minutes, slope } = OTHER_WAYS[way];
  const climbs: (number | null)[] = [];
  const stallRaisedAt: number[] = [];
  let lowFor = 0;
  told.forEach((minute, i) => {
    const past = told.slice(Math.max(0, i - minutes + 1), i + 1).map((each) => each?.rawC ?? null);
    const climb = minute && past.length === minutes ? 60 * slope(past) : Number.NaN;
    climbs.push(Number.isFinite(climb) ? climb : null);
    if (minute === null || !Number.isFinite(climb)) return;
    const climbing = minute.stage === 'climbing' && minute.rawC !== null && minute.rawC < startC;
    lowFor = climbing && climb < STALL_CLIMB_C_PER_H ? lowFor + 1 : 0;
    if (lowFor === FOR_MIN + 1) stallRaisedAt.push(i + 1);
  });
  return { climbs, stallRaisedAt };
}
