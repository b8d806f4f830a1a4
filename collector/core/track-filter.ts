/**
 * The filter beneath the track: a structural time-series model in state-space form (Harvey, Forecasting, Structural Time
 * Series Models and the Kalman Filter, 1989; form from memory). A reading is
 *
 *     level + cycle + white noise;
 *     the level moves with a slope of two parts: the usual climb, a random walk that changes over hours, and the way off it,
 *     an Ornstein-Uhlenbeck process that dies away within an hour (a kiln that is tended comes back to its climb);
 *     the cycle is a damped stochastic one, of the stokes' own period: the sawtooth.
 *
 * The transition is exact for any time step, so irregular and gappy readings need no grid. Written out in plain numbers:
 * a matrix library costs a hundred times more. `tests/core/matrix-filter.ts` has it with matrices.
 */

/** What the filter takes a kiln for. */
export interface FilterModel {
  /** What the usual climb gathers in one hour, standard deviation in °C/h. */
  usualWanderCPerH: number;
  /** The way off the usual climb: its size (standard deviation), and how long it lasts. */
  offSdCPerH: number;
  offMemoryH: number;
  /** The sawtooth's size (standard deviation), and for how many of its own periods it stays in step with itself. */
  cycleSdC: number;
  cycleMemoryPeriods: number;
  /** White noise of one reading: the couple, the chip and the last digit. */
  noiseSdC: number;
  /** What is known of the usual climb before anything is seen. */
  firstSlopeSdCPerH: number;
  /** An innovation beyond this many standard deviations is weighed down to it (a Huber-like guard). */
  guardSd: number;
  /** Brick and ware never fall at once: a drop beyond this many standard deviations is a stoke's, and goes to the cycle. */
  dropSd: number;
  /** No stoke makes a drop larger than this from one reading to the next: common practice, no source. */
  mostDropC: number;
}

/** Chosen on the first set of the score and on simulated climbs of other makes; `npm run score` says what another is worth. */
export const KILN: FilterModel = {
  usualWanderCPerH: 12,
  offSdCPerH: 40,
  offMemoryH: 0.8,
  cycleSdC: 13,
  cycleMemoryPeriods: 2,
  noiseSdC: 1.5,
  firstSlopeSdCPerH: 80,
  guardSd: 3,
  dropSd: 1.5,
  mostDropC: 30,
};

/** State and covariance, in blocks: `a` level, usual climb and way off it; `b` the cycle's two parts; `c` between them. */
export interface TrackFilter {
  level: number;
  usual: number;
  off: number;
  cycle: number;
  cycleTurned: number;
  a00: number;
  a01: number;
  a02: number;
  a11: number;
  a12: number;
  a22: number;
  b00: number;
  b01: number;
  b11: number;
  c00: number;
  c01: number;
  c10: number;
  c11: number;
  c20: number;
  c21: number;
}

/** As known from one reading alone: level and cycle together; what the level is too high, the cycle is too low. */
export function firstFilter(tempC: number, model: FilterModel = KILN): TrackFilter {
  const { cycleSdC, noiseSdC, firstSlopeSdCPerH, offSdCPerH } = model;
  return {
    level: tempC,
    usual: 0,
    off: 0,
    cycle: 0,
    cycleTurned: 0,
    a00: noiseSdC ** 2 + cycleSdC ** 2,
    a01: 0,
    a02: 0,
    a11: firstSlopeSdCPerH ** 2,
    a12: 0,
    a22: offSdCPerH ** 2,
    b00: cycleSdC ** 2,
    b01: 0,
    b11: cycleSdC ** 2,
    c00: -(cycleSdC ** 2),
    c01: 0,
    c10: 0,
    c11: 0,
    c20: 0,
    c21: 0,
  };
}

/** Moves state and covariance on by `h` hours, the sawtooth's period being `periodH`. */
export function predictFilter(
  filter: TrackFilter,
  h: number,
  periodH: number,
  model: FilterModel = KILN,
): void {
  const { offMemoryH, cycleSdC } = model;
  const kept = Math.exp(-h / offMemoryH);
  const lost = -Math.expm1(-h / offMemoryH);
  const g = offMemoryH * lost;
  filter.level += filter.usual * h + filter.off * g;
  filter.off *= kept;

  const { a01, a02, a11, a12, a22 } = filter;
  const walk = model.usualWanderCPerH ** 2;
  const size = model.offSdCPerH ** 2;
  // The integral of the Ornstein-Uhlenbeck process, its covariance with the process, and what flows into that.
  const gone = size * offMemoryH * (2 * h - offMemoryH * lost * (2 + lost));
  filter.a00 +=
    2 * (h * a01 + g * a02) + h * h * a11 + 2 * h * g * a12 + g * g * a22 + (walk * h ** 3) / 3 + gone;
  filter.a01 += h * a11 + g * a12 + (walk * h * h) / 2;
  filter.a02 = kept * (a02 + h * a12 + g * a22) + size * offMemoryH * lost * lost;
  filter.a11 += walk * h;
  filter.a12 *= kept;
  filter.a22 = kept * kept * a22 + size * lost * (1 + kept);

  const damp = Math.exp(-h / (model.cycleMemoryPeriods * periodH));
  const turn = (2 * Math.PI * h) / periodH;
  const c = damp * Math.cos(turn);
  const s = damp * Math.sin(turn);
  const cycle = c * filter.cycle + s * filter.cycleTurned;
  filter.cycleTurned = c * filter.cycleTurned - s * filter.cycle;
  filter.cycle = cycle;

  const { c10, c11, c20, c21, b00, b01, b11 } = filter;
  const d00 = filter.c00 + h * c10 + g * c20;
  const d01 = filter.c01 + h * c11 + g * c21;
  filter.c00 = c * d00 + s * d01;
  filter.c01 = c * d01 - s * d00;
  filter.c10 = c * c10 + s * c11;
  filter.c11 = c * c11 - s * c10;
  filter.c20 = kept * (c * c20 + s * c21);
  filter.c21 = kept * (c * c21 - s * c20);
  const fresh = cycleSdC ** 2 * (1 - damp * damp);
  filter.b00 = c * c * b00 + 2 * c * s * b01 + s * s * b11 + fresh;
  filter.b01 = (c * c - s * s) * b01 + c * s * (b11 - b00);
  filter.b11 = s * s * b00 - 2 * c * s * b01 + c * c * b11 + fresh;
}

/** Takes a reading in. */
export function updateFilter(filter: TrackFilter, tempC: number, model: FilterModel = KILN): void {
  const { noiseSdC, guardSd, dropSd, mostDropC } = model;
  const innovation = tempC - filter.level - filter.cycle;
  const expected = filter.a00 + 2 * filter.c00 + filter.b00 + noiseSdC ** 2;
  if (innovation < 0 && innovation > -mostDropC)
    filter.b00 += Math.max(0, (innovation / dropSd) ** 2 - expected);
  const known = filter.a00 + 2 * filter.c00 + filter.b00;
  const total = Math.max(known + noiseSdC ** 2, (innovation / guardSd) ** 2);
  const g0 = filter.a00 + filter.c00;
  const g1 = filter.a01 + filter.c10;
  const g2 = filter.a02 + filter.c20;
  const g3 = filter.c00 + filter.b00;
  const g4 = filter.c01 + filter.b01;
  const step = innovation / total;
  filter.level += g0 * step;
  filter.usual += g1 * step;
  filter.off += g2 * step;
  filter.cycle += g3 * step;
  filter.cycleTurned += g4 * step;
  filter.a00 -= (g0 * g0) / total;
  filter.a01 -= (g0 * g1) / total;
  filter.a02 -= (g0 * g2) / total;
  filter.a11 -= (g1 * g1) / total;
  filter.a12 -= (g1 * g2) / total;
  filter.a22 -= (g2 * g2) / total;
  filter.b00 -= (g3 * g3) / total;
  filter.b01 -= (g3 * g4) / total;
  filter.b11 -= (g4 * g4) / total;
  filter.c00 -= (g0 * g3) / total;
  filter.c01 -= (g0 * g4) / total;
  filter.c10 -= (g1 * g3) / total;
  filter.c11 -= (g1 * g4) / total;
  filter.c20 -= (g2 * g3) / total;
  filter.c21 -= (g2 * g4) / total;
}

/** Climb in °C/h and its variance. */
export function filterClimb({ usual, off, a11, a12, a22 }: TrackFilter): { climb: number; variance: number } {
  return { climb: usual + off, variance: Math.max(a11 + 2 * a12 + a22, 0) };
}
