/** The test for standing still, over time. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  followStillness,
  newStillness,
  type Stillness,
  stillnessAt,
} from '../../collector/core/stillness.ts';
import { MINUTE_MS, START_MS, viewOf } from '../support/kiln.ts';

/** What the readings show, every so many seconds from the start; null where they show nothing. */
function followed(shown: readonly (number | null)[], everyS: number): { stillness: Stillness; at: number } {
  const stillness = newStillness();
  let at = START_MS;
  for (const shownCPerH of shown) {
    followStillness(stillness, viewOf({ kiln: { shownCPerH } }, at));
    at += everyS * 1000;
  }
  return { stillness, at: at - everyS * 1000 };
}

const repeated = <T>(value: T, times: number): T[] => Array.from({ length: times }, () => value);

describe('the sum', () => {
  it.each([1, 10, 60])('is the same however often it is looked at: every %i s', (everyS) => {
    const { stillness } = followed(repeated(-15.5, 120 / everyS + 1), everyS);
    // 1.5 °C/h below the reference of 11 - 25 for 2 min.
    expect(stillness.stands.quick.sum).toBeCloseTo(3, 9);
  });

  it('counts no more than 5 min of a gap', () => {
    const stillness = newStillness();
    for (const at of [START_MS, START_MS + 60 * MINUTE_MS])
      followStillness(stillness, viewOf({ kiln: { shownCPerH: -15 } }, at));
    expect(stillness.stands.quick.sum).toBeCloseTo(1 * 5, 9);
  });

  it('stays as it is while there are no figures', () => {
    const { stillness } = followed([...repeated(-15.5, 61), ...repeated(null, 600)], 1);
    expect(stillness.stands.quick.sum).toBeCloseTo(1.5, 9);
  });

  // Of a usual climb below 50 °C/h a fifth moves the reference; above 1090 °C it is 7 °C/h lower, below 450 °C 6 °C/h.
  it.each([
    { shows: -15.5, usual: 60, smoothC: 900, sum: 3 },
    { shows: -15.5, usual: 45, smoothC: 900, sum: 1 },
    { shows: -23, usual: 60, smoothC: 1091, sum: 4 },
    { shows: -23, usual: 45, smoothC: 1091, sum: 2 },
    { shows: -21, usual: 60, smoothC: 449, sum: 2 },
    { shows: -15, usual: 60, smoothC: 449, sum: 0 },
  ])(
    'asks for more where a low climb is no surprise: $usual °C/h at $smoothC °C',
    ({ shows, usual, smoothC, sum }) => {
      const stillness = newStillness();
      for (const at of [START_MS, START_MS + 2 * MINUTE_MS])
        followStillness(stillness, viewOf({ kiln: { shownCPerH: shows, usualCPerH: usual, smoothC } }, at));
      expect(stillness.stands.quick.sum).toBeCloseTo(sum, 9);
    },
  );

  it('begins anew when standing is no stall any more', () => {
    const { stillness, at } = followed(repeated(-40, 300), 1);
    expect(stillnessAt(stillness, at)).toMatchObject({ stands: { sure: true }, falls: { sure: true } });
    followStillness(stillness, viewOf({ stage: 'hold', kiln: { shownCPerH: -40 } }, at + 1000));
    expect(stillnessAt(stillness, at + 1000)).toEqual({
      stands: { sure: false, forMs: 0 },
      falls: { sure: false, forMs: 0 },
    });
  });

  it('says since when: since it last left nought', () => {
    const { stillness, at } = followed([...repeated(-15, 60), ...repeated(60, 60), ...repeated(-26, 61)], 1);
    // Of the rise there is a second's step left when it begins to fall again.
    expect(stillnessAt(stillness, at).stands).toEqual({ sure: true, forMs: 60_000 });
  });

  it.each([
    { shows: 0.5, min: 54 },
    { shows: 4.7, min: 153 },
    { shows: 9, min: null },
  ])('of a kiln that quietly goes on at $shows °C/h is enough after $min min', ({ shows, min }) => {
    const sureAfter = (minutes: number) => {
      const { stillness, at } = followed(repeated(shows, minutes * 6 + 1), 10);
      return stillnessAt(stillness, at).stands.sure;
    };
    expect(sureAfter(min === null ? 600 : min)).toBe(min !== null);
    if (min !== null) expect(sureAfter(min - 1)).toBe(false);
  });

  it('is never below nought, and finds back from the top within the time that a fifth more takes', () => {
    const shown = fc.array(fc.double({ min: -300, max: 300, noNaN: true }), { minLength: 1, maxLength: 200 });
    fc.assert(
      fc.property(shown, fc.integer({ min: 1, max: 600 }), (all, everyS) => {
        const { stillness } = followed(all, everyS);
        const { stands, falls } = stillness;
        for (const [{ sum, since }, decision] of [
          [stands.quick, 5],
          [stands.steady, 145],
          [stands.slow, 350],
          [falls.quick, 5],
          [falls.steady, 145],
          [falls.slow, 350],
        ] as const) {
          expect(sum).toBeGreaterThanOrEqual(0);
          expect(sum).toBeLessThanOrEqual(1.2 * decision);
          expect(since === null).toBe(sum === 0);
        }
        expect(falls.quick.sum).toBeLessThanOrEqual(stands.quick.sum);
        expect(falls.steady.sum).toBeLessThanOrEqual(stands.steady.sum);
        expect(falls.slow.sum).toBeLessThanOrEqual(stands.slow.sum);
      }),
    );
  });
});
