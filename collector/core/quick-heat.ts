/**
 * The quick heat: what the gas around the couples does from reading to reading, with their noise and their lag taken out.
 * A three-state Kalman filter (standard form, from memory): the gas moves with a slope, the slope is a random walk, and the
 * couple in its tube follows the gas with one time constant. The noise is measured by the filter itself, by the median size
 * of its surprises, so that a stoke's dip counts for no more than one of them.
 */
import { SECOND_MS } from '../../protocol/units.ts';

/** How slowly a couple in its tube follows: our own choice, within what a thick tube has. */
const LAG_S = 60;
/** Standard deviation that the slope gathers in one second, °C/s. `npm run score` says what another is worth. */
const SLOPE_WANDER_C_PER_S = 0.015;
/** The least variance of a reading, °C²: the chip's last digit. */
const LEAST_VARIANCE = 0.15;
/** By how much the typical surprise is mended at each reading, as a part of itself, and its bounds, °C. */
const MEND = 0.01;
const LEAST_TYPICAL_C = 0.05;
const MOST_TYPICAL_C = 6;
/** Median of the size of a normal variable, in standard deviations. */
const NORMAL_MEDIAN = 0.6745;
/** A surprise beyond this many standard deviations is weighed down to it: spikes were screened out, and dips are real. */
const GUARD_SD = 10;
/** Longer steps are taken in parts, so that the lag is followed closely. */
const LONGEST_STEP_S = 10;
/** What is known at the start: variances of couple and gas, °C², and of the slope, (°C/s)². */
const FIRST_COUPLE = 4;
const FIRST_GAS = 100;
const FIRST_SLOPE = 0.05 ** 2;

/** Couple and gas in °C, slope in °C/s, and the covariance of the three. */
export interface QuickHeat {
  /** Epoch ms; null before the first reading. */
  at: number | null;
  coupleC: number;
  gasC: number;
  slopeCPerS: number;
  p00: number;
  p01: number;
  p02: number;
  p11: number;
  p12: number;
  p22: number;
  typicalC: number;
}

export function newQuickHeat(): QuickHeat {
  return {
    at: null,
    coupleC: 0,
    gasC: 0,
    slopeCPerS: 0,
    p00: 0,
    p01: 0,
    p02: 0,
    p11: 0,
    p12: 0,
    p22: 0,
    typicalC: 1,
  };
}

/** Begins anew at this reading; what is known of the noise stays. */
export function startQuickHeat(heat: QuickHeat, at: number, tempC: number): void {
  heat.at = at;
  heat.coupleC = tempC;
  heat.gasC = tempC;
  heat.slopeCPerS = 0;
  heat.p00 = FIRST_COUPLE;
  heat.p01 = 0;
  heat.p02 = 0;
  heat.p11 = FIRST_GAS;
  heat.p12 = 0;
  heat.p22 = FIRST_SLOPE;
}

/** Standard deviations of the slope, °C/s, and of the couple's own temperature, °C. */
export function quickHeatSd(heat: QuickHeat): { slopeSd: number; coupleSd: number } {
  return { slopeSd: Math.sqrt(Math.max(heat.p22, 1e-12)), coupleSd: Math.sqrt(Math.max(heat.p00, 0)) };
}

/** Takes a reading in, at or after the last one, epoch ms and °C. The filter must have been started. */
export function followQuickHeat(heat: QuickHeat, at: number, tempC: number): void {
  const forS = Math.max(0, at - (heat.at ?? at)) / SECOND_MS;
  const steps = Math.ceil(forS / LONGEST_STEP_S);
  for (let i = 0; i < steps; i += 1) predict(heat, forS / steps);
  heat.at = at;
  const surprise = tempC - heat.coupleC;
  const size = Math.abs(surprise);
  const noise = Math.max(LEAST_VARIANCE, (heat.typicalC / NORMAL_MEDIAN) ** 2 - heat.p00);
  const mended = heat.typicalC * Math.exp(size > heat.typicalC ? MEND : -MEND);
  heat.typicalC = Math.min(MOST_TYPICAL_C, Math.max(LEAST_TYPICAL_C, mended));
  const total = Math.max(heat.p00 + noise, (surprise / GUARD_SD) ** 2);
  const { p00, p01, p02 } = heat;
  heat.coupleC += (p00 * surprise) / total;
  heat.gasC += (p01 * surprise) / total;
  heat.slopeCPerS += (p02 * surprise) / total;
  heat.p00 -= (p00 * p00) / total;
  heat.p01 -= (p00 * p01) / total;
  heat.p02 -= (p00 * p02) / total;
  heat.p11 -= (p01 * p01) / total;
  heat.p12 -= (p01 * p02) / total;
  heat.p22 -= (p02 * p02) / total;
}

/** Moves state and covariance on by `s` seconds: exact for the lag, and for gas and slope with their wander. */
function predict(heat: QuickHeat, s: number): void {
  const stays = Math.exp(-s / LAG_S);
  const taken = 1 - stays;
  const ahead = s - LAG_S * taken;
  heat.coupleC = stays * heat.coupleC + taken * heat.gasC + ahead * heat.slopeCPerS;
  heat.gasC += s * heat.slopeCPerS;
  const { p00, p01, p02, p11, p12, p22 } = heat;
  const r00 = stays * p00 + taken * p01 + ahead * p02;
  const r01 = stays * p01 + taken * p11 + ahead * p12;
  const r02 = stays * p02 + taken * p12 + ahead * p22;
  const r12 = p12 + s * p22;
  const wander = SLOPE_WANDER_C_PER_S ** 2;
  heat.p00 = r00 * stays + r01 * taken + r02 * ahead;
  heat.p01 = r01 + s * r02;
  heat.p02 = r02;
  heat.p11 = p11 + s * p12 + s * r12 + (wander * s * s * s) / 3;
  heat.p12 = r12 + (wander * s * s) / 2;
  heat.p22 = p22 + wander * s;
}
