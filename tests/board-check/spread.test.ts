import fc from 'fast-check';
import { linearRegression, median as medianElsewhere } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { median, noiseAroundLine, quantile, slopeOf } from '../../collector/core/board-check/spread.ts';

const wide = fc.double({ min: -1e4, max: 1e4, noNaN: true });

/** Normal deviates by Box and Muller from a small linear congruential generator (Numerical Recipes' constants). */
function normals(count: number, seed: number): number[] {
  let state = seed >>> 0;
  const chance = () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return (state + 1) / 2 ** 32;
  };
  return Array.from(
    { length: count },
    () => Math.sqrt(-2 * Math.log(chance())) * Math.cos(2 * Math.PI * chance()),
  );
}

describe('noise around a local line', () => {
  it('is none on a straight line, whatever its slope and spacing', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: 0.1, max: 10, noNaN: true }), { minLength: 6, maxLength: 40 }),
        fc.double({ min: -50, max: 50, noNaN: true }),
        wide,
        (steps, slope, start) => {
          let x = 0;
          const points = steps.map((step) => {
            x += step;
            return { x, y: start + slope * x };
          });
          expect(noiseAroundLine(points)).toBeLessThan(1e-8 * (1 + Math.abs(start) + Math.abs(slope) * x));
        },
      ),
    );
  });

  it('is the standard deviation of white noise on a climb: 2 °C within 3 % over 4,000 readings', () => {
    const points = normals(4000, 7).map((z, i) => ({ x: i * 1000, y: 20 + 0.02 * i + 2 * z }));
    expect(noiseAroundLine(points)).toBeGreaterThan(1.94);
    expect(noiseAroundLine(points)).toBeLessThan(2.06);
  });

  it('says nothing of few readings', () => {
    expect(noiseAroundLine([1, 2, 3, 4, 5].map((x) => ({ x, y: x })))).toBeNull();
  });
});

describe('the line of least squares', () => {
  it('gives the first of Anscombe’s sets its published slope of 0.500 with a standard error of 0.118', () => {
    // Anscombe, Graphs in statistical analysis, The American Statistician 27 (1973), set 1; from memory.
    const x = [10, 8, 13, 9, 11, 14, 6, 4, 12, 7, 5];
    const y = [8.04, 6.95, 7.58, 8.81, 8.33, 9.96, 7.24, 4.26, 10.84, 4.82, 5.68];
    const fitted = slopeOf(x.map((value, i) => ({ x: value, y: y[i] ?? 0 })));
    expect(fitted?.slope).toBeCloseTo(0.5, 3);
    expect(fitted?.sd).toBeCloseTo(0.118, 3);
  });

  it('has the slope that another library finds', () => {
    const points = fc.array(fc.record({ x: wide, y: wide }), { minLength: 8, maxLength: 60 });
    fc.assert(
      fc.property(points, (list) => {
        const spread = Math.max(...list.map(({ x }) => x)) - Math.min(...list.map(({ x }) => x));
        fc.pre(spread > 1);
        const { m } = linearRegression(list.map(({ x, y }) => [x, y]));
        const ours = slopeOf(list)?.slope ?? Number.NaN;
        expect(Math.abs(ours - m)).toBeLessThan(1e-4 * (1 + Math.abs(m)));
      }),
    );
  });
});

describe('quantiles', () => {
  it('has the median that another library finds', () => {
    fc.assert(
      fc.property(fc.array(wide, { minLength: 1, maxLength: 50 }), (list) => {
        expect(median(list)).toBeCloseTo(medianElsewhere(list), 6);
      }),
    );
    expect(median([])).toBeNull();
    expect(quantile([1, 2, 3, 4, 5], 0.25)).toBe(2);
  });
});
