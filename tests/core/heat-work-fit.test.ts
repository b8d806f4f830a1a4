/** The fit of a cone's A and Q to its end points. */
import { describe, expect, test } from 'vitest';
import { type ConeRate, endPointC, lnRampIntegral } from '../../collector/core/heat-work/arrhenius.ts';
import { SELF_SUPPORTING_C } from '../../collector/core/heat-work/cone-chart.ts';
import { coneEndPoints, fitCone } from '../../collector/core/heat-work/cone-rates.ts';
import { type EndPoint, fitThree, fitTwo } from '../../collector/core/heat-work/fit.ts';
import { CONE_NAMES } from '../../protocol/cones.ts';

describe('the ramp integral', () => {
  /** E1(x) from Abramowitz & Stegun, table 5.1 (checked with another library); E2(x) = exp(-x) - x·E1(x). */
  const E1: [number, number][] = [
    [5, 1.148295591275e-3],
    [10, 4.156968929685e-6],
    [20, 9.835525290649e-11],
  ];

  test.each(E1)('is T·E2(Q/RT), at Q/RT = %f', (x, e1) => {
    const tempK = 1300;
    const e2 = Math.exp(-x) - x * e1;
    expect(Math.exp(lnRampIntegral(x * tempK, tempK)) / (tempK * e2)).toBeCloseTo(1, 9);
  });

  test('grows at the rate that it integrates', () => {
    for (const [activationK, tempK] of [
      [30_000, 900],
      [90_000, 1400],
      [180_000, 1600],
    ] as const) {
      const [below, above] = [-0.01, 0.01].map((off) => Math.exp(lnRampIntegral(activationK, tempK + off)));
      const slope = (Number(above) - Number(below)) / 0.02;
      expect(slope / Math.exp(-activationK / tempK)).toBeCloseTo(1, 5);
    }
  });
});

const greatestErrorC = (rate: ConeRate, ends: EndPoint[]): number =>
  Math.max(...ends.map(({ rateCPerH, endC }) => Math.abs(endPointC(rate, rateCPerH) - endC)));

describe('least greatest error', () => {
  const three = CONE_NAMES.map((name) => ({ name, ...coneEndPoints(name, SELF_SUPPORTING_C) })).flatMap(
    ({ name, slow, middle, fast }) => (slow === null ? [] : [{ name, ends: [slow, middle, fast] as const }]),
  );

  test('there are 35 cones with three rates', () => {
    expect(three).toHaveLength(35);
  });

  test.each(three)('cone $name: no other A and Q has a smaller one', ({ ends }) => {
    const best = fitThree(...ends);
    const least = greatestErrorC(best, [...ends]);
    const meanK = ends.reduce((sum, { endC }) => sum + endC + 273.15, 0) / 3;
    for (const size of [0.001, 0.01, 0.1])
      for (let turn = 0; turn < 16; turn++) {
        // Q and A in all directions, along with each other so that the end points stay near.
        const angle = (turn / 16) * 2 * Math.PI;
        const activationK = best.activationK * (1 + size * Math.cos(angle));
        const lnAPerH = best.lnAPerH + (activationK - best.activationK) / meanK + size * Math.sin(angle);
        expect(greatestErrorC({ activationK, lnAPerH }, [...ends])).toBeGreaterThan(least - 1e-6);
      }
  });

  test.each(three)('cone $name: the three errors are equal and take turns in sign', ({ ends }) => {
    const rate = fitThree(...ends);
    const [slow, middle, fast] = ends.map(({ rateCPerH, endC }) => endPointC(rate, rateCPerH) - endC);
    expect(slow).toBeCloseTo(-Number(middle), 6);
    expect(fast).toBeCloseTo(Number(slow), 6);
  });

  test('the three cones with two rates take the Q of cone 019, and miss both by as much', () => {
    const q = fitCone('019', SELF_SUPPORTING_C).activationK;
    for (const name of ['022', '021', '020'] as const) {
      const { middle, fast } = coneEndPoints(name, SELF_SUPPORTING_C);
      const rate = fitCone(name, SELF_SUPPORTING_C);
      expect(rate.activationK).toBe(q);
      expect(endPointC(rate, 60) - middle.endC).toBeCloseTo(fast.endC - endPointC(rate, 150), 6);
    }
  });
});

test('end points made from known constants give them back', () => {
  for (const made of [
    { activationK: 40_000, lnAPerH: 40 },
    { activationK: 92_000, lnAPerH: 61 },
    { activationK: 180_000, lnAPerH: 140 },
  ]) {
    const [slow, middle, fast] = [15, 60, 150].map((rateCPerH) => ({
      rateCPerH,
      endC: endPointC(made, rateCPerH),
    })) as [EndPoint, EndPoint, EndPoint];
    for (const rate of [fitTwo(slow, fast), fitThree(slow, middle, fast)]) {
      expect(rate.activationK / made.activationK).toBeCloseTo(1, 7);
      expect(rate.lnAPerH).toBeCloseTo(made.lnAPerH, 5);
    }
  }
});

test('end points that no cone could have are refused', () => {
  expect(() => fitTwo({ rateCPerH: 15, endC: 1300 }, { rateCPerH: 150, endC: 1200 })).toThrow(RangeError);
});
