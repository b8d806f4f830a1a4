/**
 * Heat work of one probe: for each cone W, the integral of its rate over time, and from that the cone reached.
 */
import { parseCone } from '../../../protocol/cones.ts';
import { HOUR_MS } from '../../../protocol/units.ts';
import { kelvin } from './arrhenius.ts';
import { CONE_RATES } from './cone-rates.ts';

/** Of one probe. Changed in place by `addHeat`; take a `copyHeatWork` to keep a moment. */
export interface HeatWork {
  /** W of each cone, softest first. A cone stops counting once some above it are reached too. */
  readonly work: Float64Array;
  /** How many cones, from the softest up, have W of 1 or more without a gap. */
  reached: number;
}

const CONES = CONE_RATES.length;
const LN_A_PER_H = Float64Array.from(CONE_RATES, ({ rate }) => rate.lnAPerH);
const ACTIVATION_K = Float64Array.from(CONE_RATES, ({ rate }) => rate.activationK);
const SCALE = Float64Array.from(CONE_RATES, ({ name }) => parseCone(name) ?? Number.NaN);

/** Slower than this is left out, in 1/h: a hundred hours of it are a ten-millionth of what brings a cone down. */
const LN_NEGLIGIBLE_PER_H = Math.log(1e-9);

/** Below this, in K, every cone is slower than that. */
const COLD_K = CONE_RATES.reduce(
  (least, { rate }) => Math.min(least, rate.activationK / (rate.lnAPerH - LN_NEGLIGIBLE_PER_H)),
  Number.POSITIVE_INFINITY,
);

/** So many cones below the one that is reached go on counting: what the potter saw may take the reached one back. */
const STILL_COUNT = 9;

/** A slope is taken in pieces no longer than this, so that the series below is good to 1e-8. */
const PIECE_C = 2;

/** Nothing fired yet. */
export function newHeatWork(): HeatWork {
  return { work: new Float64Array(CONES), reached: 0 };
}

/** A snapshot that later `addHeat` calls leave alone. */
export function copyHeatWork(state: HeatWork): HeatWork {
  return { work: state.work.slice(), reached: state.reached };
}

/**
 * Mean rate over a straight piece of slope, from the rate in its middle: Taylor series of exp(-Q/RT) to the fourth
 * order, averaged. `s` is the slope of ln rate, Q/RT².
 */
function addPiece(state: HeatWork, middleK: number, widthK: number, hours: number): void {
  const { work } = state;
  const perK = 1 / middleK;
  const second = (widthK * widthK) / 24;
  const fourth = (widthK * widthK * widthK * widthK) / 1920;
  for (let i = Math.max(0, state.reached - 1 - STILL_COUNT); i < CONES; i++) {
    const x = (ACTIVATION_K[i] ?? 0) * perK;
    const lnRate = (LN_A_PER_H[i] ?? 0) - x;
    if (lnRate < LN_NEGLIGIBLE_PER_H) continue;
    const s = x * perK;
    const spread = 1 + second * s * (s - 2 * perK) + fourth * s * s * s * (s - 12 * perK);
    work[i] = (work[i] ?? 0) + hours * Math.exp(lnRate) * spread;
  }
  while (state.reached < CONES && (work[state.reached] ?? 0) >= 1) state.reached++;
}

/**
 * Adds the heat of `dtMs` milliseconds in which the temperature went straight from `fromC` to `toC` (°C), good to 1e-6
 * of W for slopes and gaps of any length. A span that is not positive, or a temperature that is not a number, adds
 * nothing.
 */
export function addHeat(state: HeatWork, fromC: number, toC: number, dtMs: number): void {
  if (!(dtMs > 0) || !Number.isFinite(dtMs) || !Number.isFinite(fromC) || !Number.isFinite(toC)) return;
  const fromK = kelvin(fromC);
  const toK = kelvin(toC);
  if (fromK < COLD_K && toK < COLD_K) return;
  const pieces = Math.max(1, Math.ceil(Math.abs(toK - fromK) / PIECE_C));
  const widthK = (toK - fromK) / pieces;
  const hours = dtMs / HOUR_MS / pieces;
  for (let piece = 0; piece < pieces; piece++) {
    const middleK = fromK + (piece + 0.5) * widthK;
    if (middleK >= COLD_K) addPiece(state, middleK, widthK, hours);
  }
}

/** ln W of a cone as it is taken, with what is added to it for each kelvin of its Q/R. */
function lnTaken(work: Float64Array, cone: number, shiftPerK: number): number {
  return Math.log(work[cone] ?? 0) + shiftPerK * (ACTIVATION_K[cone] ?? 0);
}

/** How many cones have W of 1 or more without a gap, as W is taken. */
function reachedBy({ work, reached }: HeatWork, shiftPerK: number): number {
  if (shiftPerK === 0) return reached;
  let count = Math.max(0, reached - STILL_COUNT);
  while (count < CONES && lnTaken(work, count, shiftPerK) >= 0) count++;
  return count;
}

/**
 * The cone reached on the scale of `parseCone`, with the fraction to the next one: the highest cone with W >= 1 for
 * which all lower ones have it too, and ln Wa / (ln Wa - ln Wb) of the step to the next. From 01 the fraction runs
 * from -1 up to 0, and then comes 1. Null below 022; 14 at most. Never goes down while `shiftPerK` stays: each cone's
 * ln W is taken as that times its Q/R more than was computed, as if the place were hotter by so much in 1/T. So the cones
 * keep their order.
 */
export function coneValue(state: HeatWork, shiftPerK = 0): number | null {
  const { work } = state;
  const reached = reachedBy(state, shiftPerK);
  if (reached === 0) return null;
  const below = SCALE[reached - 1] ?? Number.NaN;
  if (reached === CONES) return below;
  const above = SCALE[reached] ?? Number.NaN;
  const step = below === -1 ? 1 : above - below;
  const done = Math.max(lnTaken(work, reached - 1, shiftPerK), 0);
  const missing = -lnTaken(work, reached, shiftPerK);
  // Written so that no rounding lets it go down: one quotient, which only shrinks.
  return below + step / (1 + missing / done);
}

/** What `shiftPerK` must be for the cone of this place in the chart to have the heat work `wanted`; null before it has any. */
export function shiftFor({ work }: HeatWork, cone: number, wanted: number): number | null {
  const shift = (Math.log(wanted) - Math.log(work[cone] ?? 0)) / (ACTIVATION_K[cone] ?? Number.NaN);
  return Number.isFinite(shift) ? shift : null;
}
