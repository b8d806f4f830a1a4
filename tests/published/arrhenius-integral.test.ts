/** The integral behind heat work, held against handbook values and against a quadrature of another kind. */
import { describe, expect, test } from 'vitest';
import { lnRampIntegral } from '../../collector/core/heat-work/arrhenius.ts';
import { CONE_RATES } from '../../collector/core/heat-work/cone-rates.ts';
import { addHeat, newHeatWork } from '../../collector/core/heat-work/heat-work.ts';

/** Nodes and weights of Gauss and Legendre's rule of five points (Abramowitz & Stegun, table 25.4; from memory). */
const GAUSS = [
  [0, 0.568888888888889],
  [0.538469310105683, 0.478628670499366],
  [-0.538469310105683, 0.478628670499366],
  [0.906179845938664, 0.236926885056189],
  [-0.906179845938664, 0.236926885056189],
] as const;

function gauss(f: (x: number) => number, from: number, to: number, pieces: number): number {
  const half = (to - from) / pieces / 2;
  let sum = 0;
  for (let piece = 0; piece < pieces; piece += 1) {
    const middle = from + (2 * piece + 1) * half;
    for (const [node, weight] of GAUSS) sum += weight * half * f(middle + half * node);
  }
  return sum;
}

describe('the Arrhenius integral of a ramp, T·E2(Q/RT)', () => {
  // E1 of Abramowitz & Stegun, table 5.1 (from memory), and E2(x) = exp(-x) - x·E1(x) (their 5.1.14).
  test.each([
    [5, 1.148295591e-3],
    [10, 4.15696893e-6],
  ])('is exp(-x) - x·E1(x) of the tables at Q/RT = %f', (x, e1) => {
    expect(Math.exp(lnRampIntegral(x, 1))).toBeCloseTo(Math.exp(-x) - x * e1, 9 + Math.round(x / 5));
    expect(Math.exp(lnRampIntegral(x, 1)) / (Math.exp(-x) - x * e1)).toBeCloseTo(1, 6);
  });

  test.each(CONE_RATES.filter((_, i) => i % 6 === 0).map(({ name, rate }) => [name, rate] as const))(
    'agrees with a quadrature for cone %s',
    (_, { activationK }) => {
      for (const tempK of [900, 1200, 1500]) {
        const scale = activationK / tempK;
        // Scaled by its value at the top, so that nothing underflows; below a third of T nothing is left.
        const byRule = gauss((t) => Math.exp(scale - activationK / t), tempK / 3, tempK, 400);
        expect(Math.exp(lnRampIntegral(activationK, tempK) + scale) / byRule).toBeCloseTo(1, 9);
      }
    },
  );
});

test('heat work of a firing that climbs, holds and falls agrees with a quadrature', () => {
  const points: [hours: number, tempC: number][] = [
    [0, 20],
    [10, 800],
    [16, 1180],
    [17.5, 1180],
    [19, 1240],
    [21, 1100],
  ];
  const heat = newHeatWork();
  const sums = CONE_RATES.map(() => 0);
  points.forEach(([toH, toC], i) => {
    const [fromH, fromC] = points[i - 1] ?? [toH, toC];
    addHeat(heat, fromC, toC, (toH - fromH) * 3_600_000);
    const at = (h: number) => 273.15 + fromC + ((toC - fromC) * (h - fromH)) / (toH - fromH || 1);
    CONE_RATES.forEach(({ rate }, k) => {
      sums[k] =
        (sums[k] ?? 0) + gauss((h) => Math.exp(rate.lnAPerH - rate.activationK / at(h)), fromH, toH, 300);
    });
  });
  const seen = CONE_RATES.flatMap(({ name }, k) =>
    name === '6' || name === '9' || name === '10' ? [k] : [],
  );
  for (const k of seen) expect((heat.work[k] ?? 0) / (sums[k] ?? 1)).toBeCloseTo(1, 6);
});
