/**
 * What a stoke brings: by how much the kiln's level, with the sawtooth taken out, rose from one stoke to the next; by hole;
 * whether it grows less; and whether more wood brings less, which is a sign of choking.
 */

import { HOUR_MS, MINUTE_MS } from '../../protocol/units.ts';
import type { StokeGain } from './inputs.ts';
import { minuteAt, type Stoke, type Stoking } from './stoking.ts';

/** So many of the last cycles are looked at, and so many are wanted before anything is said. */
const CYCLES = 8;
const LEAST_CYCLES = 6;
const LEAST_PER_HOLE = 3;
/** A cycle that lasted longer than this was a pause. */
const LONGEST_CYCLE_MS = 45 * MINUTE_MS;
/**
 * A slope is clear when it lies so many of its standard errors from 0: one-sided 2.5 % of Student's t with 6 degrees of
 * freedom (tables).
 */
const CLEAR_T = 2.447;
/** The wood an hour must have differed by so much, as a part of its mean, to say what more of it brings. */
const LEAST_VARIED = 0.1;
/** The last cycles must bring this part less than those before. */
const LESS_BY = 0.25;

interface Cycle {
  hole: Stoke['hole'];
  gainC: number;
  hours: number;
  kg: number | null;
}

function cyclesOf(stoking: Stoking, stokes: readonly Stoke[]): Cycle[] {
  const cycles = stokes.slice(-CYCLES - 1).flatMap((stoke, i, last): Cycle[] => {
    const next = last[i + 1];
    if (!next || next.at - stoke.at > LONGEST_CYCLE_MS) return [];
    const [from, to] = [minuteAt(stoking, stoke.at), minuteAt(stoking, next.at)];
    if (!from || !to) return [];
    const kg = stoke.unweighed === 0 ? stoke.kg : null;
    return [
      { hole: stoke.hole, gainC: to.smoothC - from.smoothC, hours: (next.at - stoke.at) / HOUR_MS, kg },
    ];
  });
  return cycles;
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

/** Least squares of `y` on `x`: the slope, and how many of its standard errors it lies from 0. */
export function slopeOf(x: readonly number[], y: readonly number[]): { slope: number; t: number } {
  const [mx, my] = [mean(x), mean(y)];
  let xx = 0;
  let xy = 0;
  let yy = 0;
  x.forEach((value, i) => {
    const [dx, dy] = [value - mx, (y[i] ?? my) - my];
    xx += dx * dx;
    xy += dx * dy;
    yy += dy * dy;
  });
  if (xx === 0) return { slope: 0, t: 0 };
  const slope = xy / xx;
  const left = Math.max(0, yy - slope * xy);
  const error = Math.sqrt(left / Math.max(1, x.length - 2) / xx);
  return {
    slope,
    t: error > 0 ? slope / error : slope === 0 ? 0 : Math.sign(slope) * Number.POSITIVE_INFINITY,
  };
}

/**
 * More wood an hour brings less climb: the slope of climb on wood is clearly negative over the last cycles, and the last
 * three brought clearly less than those before. Wood by weight where all of them were weighed, else by their number.
 */
function moreBringsLess(cycles: readonly Cycle[]): boolean {
  if (cycles.length < LEAST_CYCLES) return false;
  const weighed = cycles.every(({ kg }) => kg !== null);
  const woodPerH = cycles.map(({ kg, hours }) => (weighed ? (kg ?? 0) : 1) / hours);
  const climbs = cycles.map(({ gainC, hours }) => gainC / hours);
  const varied = Math.sqrt(mean(woodPerH.map((each) => (each - mean(woodPerH)) ** 2))) / mean(woodPerH);
  if (!(varied >= LEAST_VARIED)) return false;
  const [before, lately] = [mean(climbs.slice(0, -3)), mean(climbs.slice(-3))];
  if (before <= 0 || lately > (1 - LESS_BY) * before) return false;
  return slopeOf(woodPerH, climbs).t <= -CLEAR_T;
}

/** `less`, `more`, or `same` where the gains of the last cycles show no clear trend. */
function trendOf(gains: readonly number[]): StokeGain['trend'] {
  if (gains.length < LEAST_CYCLES) return 'same';
  const { t } = slopeOf(
    gains.map((_, i) => i),
    gains,
  );
  return t <= -CLEAR_T ? 'less' : t >= CLEAR_T ? 'more' : 'same';
}

/** What the last stokes brought, °C each; null while too few are known. */
export function stokeGain(stoking: Stoking, stokes: readonly Stoke[]): StokeGain | null {
  const cycles = cyclesOf(stoking, stokes);
  if (cycles.length < LEAST_PER_HOLE) return null;
  const gains = cycles.map(({ gainC }) => gainC);
  const through = (hole: Stoke['hole']) => {
    const its = cycles.filter((cycle) => cycle.hole === hole).map(({ gainC }) => gainC);
    return its.length >= LEAST_PER_HOLE ? mean(its) : null;
  };
  return {
    perStokeC: mean(gains),
    leftC: through('left'),
    rightC: through('right'),
    trend: trendOf(gains),
    moreBringsLess: moreBringsLess(cycles),
  };
}
