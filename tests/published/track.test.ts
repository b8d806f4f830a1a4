/**
 * The filter of the track in its steady state, against closed forms for a filter of its family: level and slope, the slope
 * a random walk, no sawtooth (Kalata, The tracking index, IEEE Transactions on Aerospace and Electronic Systems 20, 1984;
 * for noise that acts all the time as here: Bar-Shalom, Li & Kirubarajan, Estimation with Applications to Tracking and
 * Navigation, 2001; both from memory). With the tracking index L = q T³/r the gains a and b = slope gain times T fulfil
 *
 *     b²/(1 - a) = L,     a = sqrt(2 b + b²/12) - b/2.
 *
 * Kalata's own a, for noise that is constant from one reading to the next, is sqrt(2 b) - b/2: the same without b²/12.
 */
import { describe, expect, it } from 'vitest';
import {
  type FilterModel,
  firstFilter,
  KILN,
  predictFilter,
  updateFilter,
} from '../../collector/core/track-filter.ts';

function steadyGains(wanderCPerH: number, noiseSdC: number, stepH: number) {
  const model: FilterModel = {
    ...KILN,
    usualWanderCPerH: wanderCPerH,
    offSdCPerH: 0,
    cycleSdC: 0,
    noiseSdC,
    guardSd: Number.POSITIVE_INFINITY,
    dropSd: Number.POSITIVE_INFINITY,
  };
  const filter = firstFilter(0, model);
  for (let i = 0; i < 4000; i++) {
    predictFilter(filter, stepH, 0.15, model);
    updateFilter(filter, 0, model);
  }
  // Before the next reading; then what a reading of 1 °C more moves.
  predictFilter(filter, stepH, 0.15, model);
  const before = { ...filter };
  updateFilter(filter, before.level + 1, model);
  const index = (wanderCPerH ** 2 * stepH ** 3) / noiseSdC ** 2;
  return { a: filter.level - before.level, b: (filter.usual - before.usual) * stepH, index };
}

describe('the steady gains of level and slope', () => {
  it.each([
    { wanderCPerH: 50, noiseSdC: 1.5, stepS: 20 },
    { wanderCPerH: 50, noiseSdC: 1.5, stepS: 300 },
    { wanderCPerH: 300, noiseSdC: 1, stepS: 120 },
    { wanderCPerH: 1000, noiseSdC: 0.5, stepS: 600 },
  ])('wander $wanderCPerH °C/h, noise $noiseSdC °C, every $stepS s', ({ wanderCPerH, noiseSdC, stepS }) => {
    const { a, b, index } = steadyGains(wanderCPerH, noiseSdC, stepS / 3600);
    expect(b ** 2 / (1 - a) / index).toBeCloseTo(1, 6);
    expect(a).toBeCloseTo(Math.sqrt(2 * b + b ** 2 / 12) - b / 2, 6);
    // With a small index the two kinds of noise are one: Kalata's own.
    if (index < 0.01) expect(a).toBeCloseTo(Math.sqrt(2 * b) - b / 2, 3);
  });
});
