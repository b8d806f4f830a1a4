import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Entry, Firing } from '../../dashboard/firing.ts';
import { firingAt } from '../../dashboard/replay.ts';
import { peakBefore, saltIsAtHand, saltSoFar } from '../../dashboard/salt.ts';
import { LIT_AT, recordAt } from './story.ts';

const MINUTE = 60_000;
const { firstPlan: plan } = recordAt(0.5, 60 * MINUTE);

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

describe('the salt is at hand', () => {
  const firing = (part: Partial<Firing> = {}) => ({
    ...firingAt(recordAt(9), LIT_AT + 9 * 60 * MINUTE),
    ...part,
  });
  const atHand = (highestC: number, part: Partial<Firing> = {}, log: Entry[] = []) =>
    saltIsAtHand({ firing: firing(part), log }, [20, highestC, null, highestC - 300]);
  const coneOnly = { ...plan, saltingStartC: null, saltingStartCone: '9' };
  const pull = (probe: string): Entry => ({ ...charge(0, 'left'), log: 'pulled', json: { probe } });

  it('from 200 °C below the start on, and then to stay, though the kiln falls back', () => {
    expect(atHand(1004)).toBe(false);
    expect(atHand(1005)).toBe(true);
  });

  it.each<[string, boolean, Partial<Firing>, Entry[]]>([
    ['while candling it is not', false, { stage: 'candling', plan: coneOnly }, []],
    ['where the plan goes by a cone', true, { plan: coneOnly }, []],
    ['once salt went in', true, {}, [charge(0, 'left')]],
    ['not for salt that was taken back', false, {}, [charge(0, 'left', 73, true)]],
    ['with every couple pulled', true, {}, ['front', 'back', 'top'].map(pull)],
    ['not with one of three pulled', false, {}, [pull('front')]],
    ['in the soak', true, { stage: 'soak' }, []],
  ])('%s', (_, expected, part, log) => {
    expect(atHand(700, part, log)).toBe(expected);
  });
});
