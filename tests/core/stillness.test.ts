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
function followed(
  shown: readonly (number | null)[],
  everyS: number,
  smoothC = 900,
): { stillness: Stillness; at: number } {
  const stillness = newStillness();
  let at = START_MS;
  for (const shownCPerH of shown) {
    followStillness(stillness, viewOf({ kiln: { shownCPerH, smoothC } }, at));
    at += everyS * 1000;
  }
  return { stillness, at: at - everyS * 1000 };
}

const repeated = <T>(value: T, times: number): T[] => Array.from({ length: times }, () => value);

describe('the sum', () => {
  it.each([1, 10, 60])('is the same however often it is looked at: every %i s', (everyS) => {
    const { stillness } = followed(repeated(-18, 120 / everyS + 1), everyS);
    // 1 °C/h below the reference of 11 - 28 for 2 min.
    expect(stillness.stands.quick.sum).toBeCloseTo(2, 9);
  });

  it('counts no more than 5 min of a gap', () => {
    const stillness = newStillness();
    for (const at of [START_MS, START_MS + 60 * MINUTE_MS])
      followStillness(stillness, viewOf({ kiln: { shownCPerH: -17.4 } }, at));
    expect(stillness.stands.quick.sum).toBeCloseTo(0.4 * 5, 9);
  });

  it('stays as it is while there are no figures', () => {
    const { stillness } = followed([...repeated(-18.5, 61), ...repeated(null, 600)], 1);
    expect(stillness.stands.quick.sum).toBeCloseTo(1.5, 9);
  });

  // Above 1090 °C the references lie 11 °C/h lower, the slow one a quarter of it.
  it.each([
    { shows: -29, smoothC: 1090, sums: { quick: 24, steady: 69, slow: 76 } },
    { shows: -29, smoothC: 1091, sums: { quick: 2, steady: 47, slow: 70.5 } },
  ])('asks for more near the top: at $smoothC °C', ({ shows, smoothC, sums }) => {
    const stillness = newStillness();
    for (const at of [START_MS, START_MS + 2 * MINUTE_MS])
      followStillness(stillness, viewOf({ kiln: { shownCPerH: shows, smoothC } }, at));
    const { quick, steady, slow } = stillness.stands;
    // The quick sum goes no further than a fifth over its decision interval of 2.5.
    expect(quick.sum).toBeCloseTo(Math.min(sums.quick, 3), 9);
    expect(steady.sum).toBeCloseTo(sums.steady, 9);
    expect(slow.sum).toBeCloseTo(sums.slow, 9);
  });

  describe('after a stall that is over', () => {
    const standsAfter = (climbedS: number, then: readonly number[]) => {
      const { stillness, at } = followed([...repeated(-40, 60), ...repeated(60, climbedS), ...then], 1);
      return stillnessAt(stillness, at).stands.sure;
    };

    // As long as its alert takes to ease. Above the figure of 11 by as much again, and a little.
    it('begins anew once it has climbed for 5 min', () => {
      const low = repeated(-25, 30);
      expect(standsAfter(300, low)).toBe(true);
      expect(standsAfter(301, low)).toBe(false);
      const { stillness, at } = followed([...repeated(-40, 1800), ...repeated(22.1, 301)], 1);
      expect(stillness.stands.steady.sum).toBe(0);
      const slow = followed([...repeated(-40, 1800), ...repeated(22, 600)], 1);
      expect(slow.stillness.stands.steady.sum).toBeCloseTo(234 - 16.5 * 10, 9);
      expect(stillnessAt(stillness, at).stands).toEqual({ sure: false, forMs: 0 });
    });

    it('asks for a low 30 °C/h lower for an hour', () => {
      expect(standsAfter(301 + 3598, repeated(-47 - 7, 30))).toBe(true);
      expect(standsAfter(301 + 3540, repeated(-47 + 1, 30))).toBe(false);
      expect(standsAfter(301 + 3600, repeated(-17 - 7, 30))).toBe(true);
    });

    it('finds one that stands quietly as soon as ever', () => {
      // 11 - 5.5 - 0 a minute, up to 195.
      expect(standsAfter(400, repeated(0, 35 * 60))).toBe(false);
      expect(standsAfter(400, repeated(0, 36 * 60))).toBe(true);
    });

    it('takes a time without figures for no climbing', () => {
      const gap = repeated(null, 600);
      const low = repeated(-25, 30);
      const sureAfter = (shown: readonly (number | null)[]) => {
        const { stillness, at } = followed([...repeated(-40, 60), ...shown, ...low], 1);
        return stillnessAt(stillness, at).stands.sure;
      };
      expect(sureAfter([...repeated(60, 100), ...gap, ...repeated(60, 200)])).toBe(true);
      expect(sureAfter([...repeated(60, 100), ...gap, ...repeated(60, 201)])).toBe(false);
    });

    it('does none of this where nothing stood', () => {
      const { stillness, at } = followed([...repeated(0, 60), ...repeated(60, 400), ...repeated(-25, 30)], 1);
      expect(stillnessAt(stillness, at).stands.sure).toBe(true);
    });
  });

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
    const { stillness, at } = followed([...repeated(-18, 60), ...repeated(60, 60), ...repeated(-26, 61)], 1);
    // Of the rise there is a second's step left when it begins to fall again.
    expect(stillnessAt(stillness, at).stands).toEqual({ sure: true, forMs: 60_000 });
  });

  it.each([
    { shows: 0.5, smoothC: 900, min: 39 },
    { shows: 4.2, smoothC: 900, min: 94 },
    { shows: 9, smoothC: 900, min: null },
    // Near the top: 11 - 2 - a quarter of 11, up to 450.
    { shows: 0, smoothC: 1120, min: 72 },
    { shows: -5, smoothC: 1120, min: 40 },
    { shows: 7, smoothC: 1120, min: null },
  ])(
    'of a kiln that quietly goes on at $shows °C/h at $smoothC °C is enough after $min min',
    ({ shows, smoothC, min }) => {
      const sureAfter = (minutes: number) => {
        const { stillness, at } = followed(repeated(shows, minutes * 6 + 1), 10, smoothC);
        return stillnessAt(stillness, at).stands.sure;
      };
      expect(sureAfter(min === null ? 600 : min)).toBe(min !== null);
      if (min !== null) expect(sureAfter(min - 1)).toBe(false);
    },
  );

  it('is never below nought, and finds back from the top within the time that a fifth more takes', () => {
    const shown = fc.array(fc.double({ min: -300, max: 300, noNaN: true }), { minLength: 1, maxLength: 200 });
    fc.assert(
      fc.property(shown, fc.integer({ min: 1, max: 600 }), (all, everyS) => {
        const { stillness } = followed(all, everyS);
        const { stands, falls } = stillness;
        for (const [{ sum, since }, decision] of [
          [stands.quick, 2.5],
          [stands.steady, 195],
          [stands.slow, 450],
          [falls.quick, 2.5],
          [falls.steady, 195],
          [falls.slow, 450],
        ] as const) {
          expect(sum).toBeGreaterThanOrEqual(0);
          expect(sum).toBeLessThanOrEqual(1.2 * decision);
          expect(since === null).toBe(sum === 0);
        }
      }),
    );
  });
});
