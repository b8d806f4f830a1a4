/**
 * The lines that the score sets beside the track, against published weights and general-purpose libraries: Savitzky & Golay,
 * Analytical Chemistry 36, 1964 (slope weights of 5 points, quadratic: (-2, -1, 0, 1, 2)/10; of 7: (-3 ... 3)/28);
 * ml-savitzky-golay; ml-regression-theil-sen.
 */
import fc from 'fast-check';
import { TheilSenRegression } from 'ml-regression-theil-sen';
import savitzkyGolay from 'ml-savitzky-golay';
import { describe, expect, it } from 'vitest';
import { lineSlope, theilSenSlope } from '../score/other-ways.ts';

const heats = (length: number) =>
  fc.array(fc.double({ min: -20, max: 1300, noNaN: true }), { minLength: length, maxLength: length });

describe('the line by least squares', () => {
  it.each([
    { points: 5, weights: [-2, -1, 0, 1, 2], over: 10 },
    { points: 7, weights: [-3, -2, -1, 0, 1, 2, 3], over: 28 },
  ])('has the published slope weights of $points points', ({ points, weights, over }) => {
    for (const [i, weight] of weights.entries()) {
      const one = Array.from({ length: points }, (_, k) => (k === i ? 1 : 0));
      expect(lineSlope(one)).toBeCloseTo(weight / over, 12);
    }
  });

  it('is what the library makes of any 9 points', () => {
    fc.assert(
      fc.property(heats(9), (values) => {
        const [slope] = savitzkyGolay(values, 1, {
          windowSize: 9,
          derivative: 1,
          polynomial: 2,
          pad: 'none',
        });
        expect(Math.abs(lineSlope(values) - Number(slope))).toBeLessThan(1e-9 * 1300);
      }),
    );
  });

  it('passes over what is not known', () => {
    expect(lineSlope([0, null, 4, null, 8])).toBeCloseTo(2, 12);
  });
});

describe('the robust line', () => {
  // With an odd number of pairs, so that the median is one of the slopes: for an even one usage differs.
  it.each([3, 6, 7, 10, 11, 30])('is what the library makes of any %i points', (length) => {
    fc.assert(
      fc.property(heats(length), (values) => {
        const { slope } = new TheilSenRegression(
          values.map((_, i) => i),
          values,
        );
        expect(Math.abs(theilSenSlope(values) - slope)).toBeLessThan(1e-9 * 1300);
      }),
    );
  });

  it('lets three wild readings of ten pass it by', () => {
    const values = [0, 1, 2, 900, 4, 5, -300, 7, 8, 1200];
    expect(theilSenSlope(values)).toBeCloseTo(1, 9);
  });
});
