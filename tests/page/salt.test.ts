import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Entry } from '../../dashboard/firing.ts';
import { peakBefore, saltSoFar } from '../../dashboard/salt.ts';
import { recordAt } from './story.ts';

const MINUTE = 60_000;
const { plan } = recordAt(0.5, 60 * MINUTE);

function charge(at: number, hole: 'left' | 'right', g?: number, undone = false): Entry {
  const json = g === undefined ? { hole } : { hole, g };
  return {
    entry: at,
    id: `s${at}${hole}`,
    at,
    madeAt: at,
    who: '',
    where: '',
    log: 'salt',
    json,
    undone,
    pending: false,
  };
}

describe('salt so far', () => {
  it('counts 50 lb in an hour through two holes as common practice has it (no source)', () => {
    // A quarter cup is about 73 g: 311 of them are 22.7 kg, 50 lb.
    const charges = Array.from({ length: 311 }, (_, i) =>
      charge((i * 60 * MINUTE) / 311, i % 2 ? 'right' : 'left'),
    );
    const salt = saltSoFar(charges, plan, 60 * MINUTE);
    expect(salt.inKg).toBeCloseTo(22.703, 3);
    expect(salt.toGoKg).toBe(0);
    expect(salt.paceKgPerH).toBeGreaterThan(22);
    expect(salt.paceKgPerH).toBeLessThan(23.5);
  });

  it('leaves out what was taken back, and takes a charge of the plan where no weight was said', () => {
    const salt = saltSoFar(
      [charge(0, 'left', 100), charge(1, 'right', 900, true), charge(2, 'right')],
      plan,
      MINUTE,
    );
    expect(salt.inKg).toBeCloseTo((100 + plan.chargeG) / 1000, 9);
  });

  it.each([
    ['the other one', [charge(0, 'left', 100)], 'right'],
    ['the one that has had less', [charge(0, 'left', 300), charge(1, 'right', 100)], 'right'],
    ['of equal ones the one that was not last', [charge(0, 'right', 100), charge(1, 'left', 100)], 'right'],
    ['none before the first', [], null],
  ] as const)('the next hole is %s', (_, charges, next) => {
    expect(saltSoFar(charges, plan, MINUTE).next).toBe(next);
  });

  it('tells lots apart by a pause of three minutes', () => {
    const charges = [0, 1, 2, 8, 9].map((minute) => charge(minute * MINUTE, 'left', 73));
    expect(saltSoFar(charges, plan, 10 * MINUTE).lotBeganAt).toBe(8 * MINUTE);
  });

  it('what is in and what is to go make up the plan, until more is in than was planned', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 2000 }), { maxLength: 40 }), (weights) => {
        const salt = saltSoFar(
          weights.map((g, i) => charge(i * MINUTE, 'left', g)),
          plan,
          60 * MINUTE,
        );
        const inKg = weights.reduce((sum, g) => sum + g, 0) / 1000;
        expect(salt.inKg).toBeCloseTo(inKg, 9);
        expect(salt.toGoKg).toBeCloseTo(Math.max(0, plan.saltKg - inKg), 9);
      }),
    );
  });
});

describe('the peak before a lot', () => {
  const at = [0, 5, 10, 20, 25].map((minute) => minute * MINUTE);
  it.each([
    [12, 1240],
    [22, 1230],
    [60, null],
  ])('in the quarter hour up to minute %i is %s', (minute, peak) => {
    expect(
      peakBefore(
        minute * MINUTE,
        at,
        [1250, 1240, 1220, 1230, 1300].map((c, i) => (i === 0 ? null : c)),
      ),
    ).toBe(peak);
  });
});
