/** EMF to temperature: the root of the reference function itself, everywhere it can be had. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { tempFromEmf } from '../../collector/core/couple/emf-to-temp.ts';
import { coupleRangeC, emfMv, emfSlopeMvPerC } from '../../collector/core/couple/reference-function.ts';
import { COUPLE_TYPES, type CoupleType } from '../../protocol/probes.ts';

const CLOSE_MV = 1e-9;

/** Where each couple can be read, in °C. */
function readableC(couple: CoupleType): { lowC: number; highC: number } {
  const { lowC, highC } = coupleRangeC(couple);
  return { lowC: couple === 'B' ? 250 : lowC, highC };
}

/** Joins of the reference functions (NIST SRD 60), in °C. */
const JOINS: { couple: CoupleType; joinC: number }[] = [
  { couple: 'B', joinC: 630.615 },
  { couple: 'E', joinC: 0 },
  { couple: 'J', joinC: 760 },
  { couple: 'K', joinC: 0 },
  { couple: 'N', joinC: 0 },
  { couple: 'R', joinC: 1064.18 },
  { couple: 'R', joinC: 1664.5 },
  { couple: 'S', joinC: 1064.18 },
  { couple: 'S', joinC: 1664.5 },
  { couple: 'T', joinC: 0 },
];

/** E just above a join, without the slope of the step up to it. */
function emfAboveMv(couple: CoupleType, joinC: number): number {
  const stepC = 1e-6;
  return emfMv(couple, joinC + stepC) - stepC * emfSlopeMvPerC(couple, joinC + stepC);
}

/** Whether an EMF lies between the two values at a join, where no temperature gives it exactly. */
function fallsInAJoin(couple: CoupleType, emf: number): boolean {
  return JOINS.some(({ couple: of, joinC }) => {
    const [a, b] = [emfMv(couple, joinC), emfAboveMv(couple, joinC)];
    return of === couple && emf >= Math.min(a, b) - CLOSE_MV && emf <= Math.max(a, b) + CLOSE_MV;
  });
}

describe.each(COUPLE_TYPES)('type %s', (couple) => {
  const { lowC, highC } = readableC(couple);
  const [lowMv, highMv] = [emfMv(couple, lowC), emfMv(couple, highC)];

  test('E(T(E)) = E within 1e-9 mV on a dense grid of EMF', () => {
    const misses: unknown[] = [];
    for (let i = 0; i <= 20_000; i++) {
      const emf = i === 20_000 ? highMv : lowMv + ((highMv - lowMv) * i) / 20_000;
      const tempC = tempFromEmf(couple, emf);
      const missMv = Math.abs(emfMv(couple, Number(tempC)) - emf);
      if (!(missMv <= CLOSE_MV) && !fallsInAJoin(couple, emf)) misses.push({ emf, tempC, missMv });
    }
    expect(misses).toEqual([]);
  });

  test('and on a dense grid of temperature, the coldest ten degrees densest', () => {
    const misses: unknown[] = [];
    const check = (tempC: number) => {
      const emf = emfMv(couple, tempC);
      const read = tempFromEmf(couple, emf);
      const missMv = Math.abs(emfMv(couple, Number(read)) - emf);
      if (!(missMv <= CLOSE_MV) && !fallsInAJoin(couple, emf)) misses.push({ tempC, read, missMv });
    };
    for (let i = 0; i <= 5000; i++) check(Math.min(highC, lowC + ((highC - lowC) * i) / 5000));
    for (let i = 0; i <= 5000; i++) check(lowC + i / 500);
    expect(misses).toEqual([]);
  });

  test('E(T(E)) = E for any EMF within the range', () => {
    fc.assert(
      fc.property(fc.double({ min: lowMv, max: highMv, noNaN: true }), (emf) => {
        fc.pre(!fallsInAJoin(couple, emf));
        const tempC = Number(tempFromEmf(couple, emf));
        expect(tempC).toBeGreaterThanOrEqual(lowC);
        expect(tempC).toBeLessThanOrEqual(highC);
        expect(Math.abs(emfMv(couple, tempC) - emf)).toBeLessThanOrEqual(CLOSE_MV);
      }),
      { numRuns: 500 },
    );
  });

  test('the function rises all the way, so that an EMF means one temperature', () => {
    const falls: number[] = [];
    for (let tempC = lowC; tempC <= highC; tempC += 0.25)
      if (!(emfSlopeMvPerC(couple, tempC) > 0)) falls.push(tempC);
    expect(falls).toEqual([]);
  });

  test('the slope is the derivative', () => {
    const stepC = 0.01;
    // Half a step off the grid, so that no step lies across a join.
    for (let tempC = lowC + 1.0321; tempC < highC - 1; tempC += 7.0007) {
      const byDifference = (emfMv(couple, tempC + stepC) - emfMv(couple, tempC - stepC)) / (2 * stepC);
      expect(Math.abs(emfSlopeMvPerC(couple, tempC) - byDifference)).toBeLessThan(1e-7);
    }
  });

  test('outside the range there is no number', () => {
    expect(tempFromEmf(couple, highMv + 1e-6)).toBe('range');
    expect(tempFromEmf(couple, couple === 'B' ? -0.2 : lowMv - 1e-6)).toBe('range');
    expect(tempFromEmf(couple, 1e300)).toBe('range');
    expect(tempFromEmf(couple, -1e300)).toBe('range');
    expect(tempFromEmf(couple, Number.NaN)).toBe('range');
    expect(tempFromEmf(couple, Number.POSITIVE_INFINITY)).toBe('range');
    expect(emfMv(couple, highC + 0.001)).toBeNaN();
    expect(emfMv(couple, coupleRangeC(couple).lowC - 0.001)).toBeNaN();
    expect(emfSlopeMvPerC(couple, highC + 0.001)).toBeNaN();
  });

  test('the ends of the range are read', () => {
    expect(tempFromEmf(couple, lowMv)).toBeCloseTo(lowC, 6);
    expect(tempFromEmf(couple, highMv)).toBeCloseTo(highC, 6);
  });
});

describe('joins', () => {
  test.each(JOINS)('$couple at $joinC °C: an EMF between the two sides is the join', ({ couple, joinC }) => {
    const [below, above] = [emfMv(couple, joinC), emfAboveMv(couple, joinC)];
    expect(Math.abs(above - below)).toBeLessThan(7.6e-8);
    expect(tempFromEmf(couple, (below + above) / 2)).toBeCloseTo(joinC, 9);
    expect(tempFromEmf(couple, below)).toBe(joinC);
  });

  test.each(JOINS)('$couple at $joinC °C: just below and just above, no jump in temperature', (join) => {
    const { couple, joinC } = join;
    for (const offC of [1e-5, 1e-4, 1e-3]) {
      expect(
        Math.abs(Number(tempFromEmf(couple, emfMv(couple, joinC - offC))) - (joinC - offC)),
      ).toBeLessThan(1e-6);
      expect(
        Math.abs(Number(tempFromEmf(couple, emfMv(couple, joinC + offC))) - (joinC + offC)),
      ).toBeLessThan(1e-6);
    }
  });

  test('the largest step is that of J at 760 °C, 7.5e-8 mV', () => {
    expect(emfAboveMv('J', 760) - emfMv('J', 760)).toBeCloseTo(7.5e-8, 9);
  });
});

describe('type B when cold', () => {
  test('its EMF falls up to 21 °C: two temperatures give the same', () => {
    expect(emfSlopeMvPerC('B', 20.9)).toBeLessThan(0);
    expect(emfSlopeMvPerC('B', 21.1)).toBeGreaterThan(0);
  });

  test.each([-0.05, -0.002, 0, 0.1, 0.291])('%f mV is too cold to read', (emf) => {
    expect(tempFromEmf('B', emf)).toBe('too-cold');
  });

  test('0.292 mV is read, just over 250 °C', () => {
    const tempC = Number(tempFromEmf('B', 0.292));
    expect(tempC).toBeGreaterThan(250);
    expect(tempC).toBeLessThan(250.5);
  });
});
