/**
 * The track: level and climb of one probe with the stoke sawtooth taken out.
 *
 * A structural time-series model in state-space form (Harvey, Forecasting, Structural Time Series Models and the
 * Kalman Filter, 1989; form from memory): the reading is a level that moves with a slope, the slope a random walk, plus
 * a damped stochastic cycle that stands for the stoke sawtooth, plus white noise. The transition is exact for any time
 * step, so irregular and gappy readings need no grid. Written out in plain numbers: with 4 states a matrix library
 * costs a hundred times more.
 */
import { HOUR_MS, MINUTE_MS } from '../../protocol/units.ts';

/** Standard deviation that the slope gathers in one hour, in °C/h. `npm run score` says what another is worth. */
const SLOPE_WANDER_C_PER_H = 50;
/** The stoke cycle: its usual period, how long it stays in step with itself, and its amplitude (standard deviation). */
const CYCLE_PERIOD_H = 9 / 60;
const CYCLE_MEMORY_H = 12 / 60;
const CYCLE_SD_C = 13;
/** White noise of one reading: the couple, the chip and the last digit. */
const NOISE_SD_C = 1.5;
/** What is known of the slope before anything is seen, °C/h. */
const FIRST_SLOPE_SD_C_PER_H = 80;
/** An innovation beyond this many standard deviations is weighed down to it (a Huber-like guard). */
const GUARD_SD = 3;
/** A longer silence than this starts the track anew: what was known of the slope says nothing any more. */
const LONGEST_GAP_MS = 3 * HOUR_MS;
/** No climb is given before this much has been seen. */
const SETTLE_MS = 5 * MINUTE_MS;

/**
 * State: level (°C), slope (°C/h) and the two parts of the cycle (°C), with their covariance in blocks: `a` trend,
 * `b` cycle, `c` between them.
 */
export interface Track {
  at: number | null;
  startedAt: number;
  level: number;
  slope: number;
  cycle: number;
  cycleTurned: number;
  a00: number;
  a01: number;
  a11: number;
  b00: number;
  b01: number;
  b11: number;
  c00: number;
  c01: number;
  c10: number;
  c11: number;
}

export function newTrack(): Track {
  return {
    at: null,
    startedAt: 0,
    level: 0,
    slope: 0,
    cycle: 0,
    cycleTurned: 0,
    a00: 0,
    a01: 0,
    a11: 0,
    b00: 0,
    b01: 0,
    b11: 0,
    c00: 0,
    c01: 0,
    c10: 0,
    c11: 0,
  };
}

function startTrack(track: Track, at: number, tempC: number): void {
  track.at = at;
  track.startedAt = at;
  track.level = tempC;
  track.slope = 0;
  track.cycle = 0;
  track.cycleTurned = 0;
  track.a00 = NOISE_SD_C ** 2 + CYCLE_SD_C ** 2;
  track.a01 = 0;
  track.a11 = FIRST_SLOPE_SD_C_PER_H ** 2;
  track.b00 = CYCLE_SD_C ** 2;
  track.b01 = 0;
  track.b11 = CYCLE_SD_C ** 2;
  // The first reading holds level and cycle together: what the level is too high, the cycle is too low.
  track.c00 = -(CYCLE_SD_C ** 2);
  track.c01 = 0;
  track.c10 = 0;
  track.c11 = 0;
}

/** Moves the state and its covariance on by `dtMs`. */
function predict(track: Track, dtMs: number): void {
  const h = dtMs / HOUR_MS;
  const q = SLOPE_WANDER_C_PER_H ** 2;
  track.level += track.slope * h;
  track.a00 += 2 * h * track.a01 + h * h * track.a11 + (q * h * h * h) / 3;
  track.a01 += h * track.a11 + (q * h * h) / 2;
  track.a11 += q * h;

  const damp = Math.exp(-h / CYCLE_MEMORY_H);
  const turn = (2 * Math.PI * h) / CYCLE_PERIOD_H;
  const c = damp * Math.cos(turn);
  const s = damp * Math.sin(turn);
  const cycle = c * track.cycle + s * track.cycleTurned;
  track.cycleTurned = c * track.cycleTurned - s * track.cycle;
  track.cycle = cycle;

  const d00 = track.c00 + h * track.c10;
  const d01 = track.c01 + h * track.c11;
  const { c10: d10, c11: d11, b00, b01, b11 } = track;
  track.c00 = c * d00 + s * d01;
  track.c01 = c * d01 - s * d00;
  track.c10 = c * d10 + s * d11;
  track.c11 = c * d11 - s * d10;
  const fresh = CYCLE_SD_C ** 2 * (1 - damp * damp);
  track.b00 = c * c * b00 + 2 * c * s * b01 + s * s * b11 + fresh;
  track.b01 = (c * c - s * s) * b01 + c * s * (b11 - b00);
  track.b11 = s * s * b00 - 2 * c * s * b01 + c * c * b11 + fresh;
}

/** Takes a screened reading in. `at` in epoch ms; a time at or before the last one is taken as the same instant. */
export function trackReading(track: Track, at: number, tempC: number): void {
  if (track.at === null || at - track.at > LONGEST_GAP_MS) {
    startTrack(track, at, tempC);
    return;
  }
  const dtMs = at - track.at;
  if (dtMs > 0) {
    predict(track, dtMs);
    track.at = at;
  }
  const innovation = tempC - track.level - track.cycle;
  const known = track.a00 + 2 * track.c00 + track.b00;
  const total = Math.max(known + NOISE_SD_C ** 2, (innovation / GUARD_SD) ** 2);
  const g0 = track.a00 + track.c00;
  const g1 = track.a01 + track.c10;
  const g2 = track.c00 + track.b00;
  const g3 = track.c01 + track.b01;
  const step = innovation / total;
  track.level += g0 * step;
  track.slope += g1 * step;
  track.cycle += g2 * step;
  track.cycleTurned += g3 * step;
  track.a00 -= (g0 * g0) / total;
  track.a01 -= (g0 * g1) / total;
  track.a11 -= (g1 * g1) / total;
  track.b00 -= (g2 * g2) / total;
  track.b01 -= (g2 * g3) / total;
  track.b11 -= (g3 * g3) / total;
  track.c00 -= (g0 * g2) / total;
  track.c01 -= (g0 * g3) / total;
  track.c10 -= (g1 * g2) / total;
  track.c11 -= (g1 * g3) / total;
}

/** Level in °C at the last reading; null before the first. */
export function trackLevelC(track: Track): number | null {
  return track.at === null ? null : track.level;
}

/** Climb in °C/h and its standard deviation; null until enough has been seen to speak of one. */
export function trackClimb(track: Track): { climbCPerH: number; sdCPerH: number } | null {
  if (track.at === null || track.at - track.startedAt < SETTLE_MS) return null;
  return { climbCPerH: track.slope, sdCPerH: Math.sqrt(Math.max(track.a11, 0)) };
}
