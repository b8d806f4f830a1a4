/** The salt so far: what is in, which hole is next, the peak before a lot, the draw rings, and what to do. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { CoreOutput, SaltingFigures } from '../../collector/core/inputs.ts';
import {
  type DrawRing,
  drawsSay,
  lotHeat,
  type SaltCharge,
  saltCount,
  saltSay,
} from '../../collector/core/salting-facts.ts';
import { newFiring } from '../../collector/core/state.ts';
import { step } from '../../collector/core/step.ts';
import { defaultPlan } from '../../protocol/plan.ts';
import { entryOf } from '../support/kiln.ts';

const MINUTE = 60_000;
const plan = defaultPlan();
const charge = (at: number, hole: SaltCharge['hole'], g: number | null = null): SaltCharge => ({
  at,
  hole,
  g,
});
const ring = (thickness: DrawRing['thickness'], orangePeel = false): DrawRing => ({
  at: MINUTE,
  thickness,
  orangePeel,
});

describe('salt so far', () => {
  it('counts 50 lb in an hour through two holes as common practice has it (no source)', () => {
    // A quarter cup is about 73 g: 311 of them are 22.7 kg, 50 lb.
    const charges = Array.from({ length: 311 }, (_, i) =>
      charge((i * 60 * MINUTE) / 311, i % 2 ? 'right' : 'left', 73),
    );
    const salt = saltCount(charges, [], plan, 60 * MINUTE);
    expect(salt.inKg).toBeCloseTo(22.703, 3);
    expect(salt.toGoKg).toBe(0);
    expect(salt.paceKgPerH).toBeGreaterThan(22);
    expect(salt.paceKgPerH).toBeLessThan(23.5);
    expect(salt.plannedKgPerH).toBeCloseTo(22.7, 9);
    expect(salt.byHoleKg.left + salt.byHoleKg.right).toBeCloseTo(salt.inKg, 9);
  });

  it.each([
    ['the other one', [charge(0, 'left', 100)], 'right'],
    ['the one that has had less', [charge(0, 'left', 300), charge(1, 'right', 100)], 'right'],
    ['of equal ones the one that was not last', [charge(0, 'right', 100), charge(1, 'left', 100)], 'right'],
    [
      'the same when the entries come out of order',
      [charge(1, 'left', 100), charge(0, 'right', 100)],
      'right',
    ],
    ['none before the first', [], null],
  ] as const)('the next hole is %s', (_, charges, next) => {
    expect(saltCount(charges, [], plan, MINUTE).next).toBe(next);
  });

  it('tells lots apart by a pause of three minutes', () => {
    const charges = [0, 1, 2, 8, 9].map((minute) => charge(minute * MINUTE, 'left', 73));
    expect(saltCount(charges, [], plan, 10 * MINUTE).lots).toEqual([0, 8 * MINUTE]);
  });

  it('what is in and what is to go make up the plan, until more is in than was planned', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 2000 }), { maxLength: 40 }), (weights) => {
        const charges = weights.map((g, i) => charge(i * MINUTE, 'left', g));
        const salt = saltCount(charges, [], plan, 60 * MINUTE);
        const inKg = weights.reduce((sum, g) => sum + g, 0) / 1000;
        expect(salt.inKg).toBeCloseTo(inKg, 9);
        expect(salt.toGoKg).toBeCloseTo(Math.max(0, plan.saltKg - inKg), 6);
      }),
    );
  });

  it('a ring is due at each quarter of the salt; those of before the salt do not count', () => {
    const half = [charge(10 * MINUTE, 'left', plan.saltKg * 500)];
    const rings = [ring('thin'), { ...ring('thin'), at: 11 * MINUTE }];
    expect(saltCount(half, rings, plan, 12 * MINUTE).draws).toMatchObject({
      pulled: 1,
      due: 2,
      of: 4,
      nextAtKg: plan.saltKg * 0.75,
    });
  });
});

describe('what the draws say', () => {
  it.each<[string, DrawRing[], ReturnType<typeof drawsSay>]>([
    ['nothing before the first', [], 'nothing'],
    ['nothing of a ring that nobody read', [ring(null)], 'nothing'],
    ['more salt after a thin one', [ring('good'), ring('thin')], 'more'],
    ['nearly, when a good one is the first', [ring('good', true)], 'nearly'],
    ['nearly, when the third is the first good one', [ring('thin'), ring('thin'), ring('good')], 'nearly'],
    ['enough at the third, after another good one', [ring('thin'), ring('good'), ring('good')], 'enough'],
    ['enough at the third with orange peel', [ring('thin'), ring('thin'), ring('good', true)], 'enough'],
    ['more than enough when heavy', [ring('good'), ring('heavy')], 'too-much'],
    ['a ring that was not read does not silence the one before', [ring('thin'), ring(null)], 'more'],
  ])('%s', (_, rings, say) => {
    expect(drawsSay(rings)).toBe(say);
  });
});

describe('the peak before a lot', () => {
  const levels = {
    at: [0, 5, 10, 20, 25].map((minute) => minute * MINUTE),
    c: [null, 1240, 1220, 1230, 1225],
  };
  it('is the highest of the quarter hour before it, and the dip the lowest since', () => {
    expect(lotHeat(levels, 9 * MINUTE, 26 * MINUTE, 1228)).toEqual({
      beganAt: 9 * MINUTE,
      peakC: 1240,
      lowC: 1220,
      shortC: 12,
    });
  });
  it('is regained within a degree', () => {
    expect(lotHeat(levels, 12 * MINUTE, 26 * MINUTE, 1239)?.shortC).toBe(0);
    expect(lotHeat(levels, 12 * MINUTE, 26 * MINUTE, 1238.9)?.shortC).toBeCloseTo(1.1, 9);
  });
  it('is not known where nothing was read', () => {
    expect(lotHeat(levels, 60 * MINUTE, 61 * MINUTE, 1228)).toBeNull();
    expect(lotHeat(levels, 9 * MINUTE, 26 * MINUTE, null)).toBeNull();
  });
});

describe('what to do about the salt', () => {
  const now = { levelC: 1230, topC: 1280, paused: false, hot: true, over: false };
  const heat = (shortC: number) => ({ beganAt: 0, peakC: 1240, lowC: 1220, shortC });
  const some = { charges: 3, toGoKg: 10 };
  it.each<[ReturnType<typeof saltSay>, Parameters<typeof saltSay>]>([
    ['not-yet', [{ charges: 0, toGoKg: 22.7 }, null, { ...now, hot: false }]],
    ['go', [{ charges: 0, toGoKg: 22.7 }, null, now]],
    ['go', [some, heat(0), now]],
    ['small', [some, heat(5), now]],
    // 20 °F, what a large charge costs at least: common practice, no source.
    ['wait', [some, heat(11.2), now]],
    ['cold', [some, heat(0), { ...now, paused: true }]],
    ['hot', [some, heat(0), { ...now, levelC: 1281 }]],
    ['unknown', [some, null, { ...now, levelC: null }]],
    ['all-in', [{ charges: 3, toGoKg: 0 }, heat(20), now]],
    ['over', [some, heat(0), { ...now, over: true }]],
  ])('%s', (say, args) => {
    expect(saltSay(...args)).toBe(say);
  });
});

describe('the core tells of the salt', () => {
  const BASE = Date.UTC(2031, 2, 8);
  function firing() {
    const state = newFiring(plan);
    const told: SaltingFigures[] = [];
    const take = (outputs: readonly CoreOutput[]) => {
      for (const output of outputs) if (output.kind === 'salting') told.push(output.salting);
    };
    return {
      told,
      log: (minute: number, entry: Record<string, unknown>) =>
        take(step(state, { kind: 'log', at: BASE + minute * MINUTE, log: entryOf(entry) }).outputs),
      tick: (minute: number) => take(step(state, { kind: 'tick', at: BASE + minute * MINUTE }).outputs),
    };
  }

  it('at once when something goes in, again while it goes on, and not before', () => {
    const { told, log, tick } = firing();
    log(0, { log: 'light-up', id: 'lit' });
    expect(told).toHaveLength(0);
    log(1, { log: 'salt', hole: 'left', g: 1000, id: 's1' });
    expect(told.at(-1)?.count).toMatchObject({ inKg: 1, next: 'right', charges: 1 });
    tick(2);
    expect(told.at(-1)?.at).toBe(BASE + 2 * MINUTE);
    log(3, { log: 'undo', id: 's1' });
    expect(told.at(-1)?.count).toMatchObject({ inKg: 0, next: null, charges: 0 });
  });

  it('a mended time moves the lot, and takes nothing in twice', () => {
    const { told, log } = firing();
    log(0, { log: 'salt', hole: 'left', g: 1000, id: 's1' });
    log(20, { log: 'salt', hole: 'right', g: 500, id: 's2' });
    const at = new Date(BASE + 10 * MINUTE).toISOString();
    log(21, { log: 'salt', hole: 'right', g: 500, id: 's3', mends: 's2', at });
    expect(told.at(-1)?.count).toMatchObject({ inKg: 1.5, charges: 2, lastAt: BASE + 10 * MINUTE });
    // Another phone takes back what it knows by its first id.
    log(22, { log: 'undo', id: 's2' });
    expect(told.at(-1)?.count).toMatchObject({ inKg: 1, charges: 1, lastAt: BASE });
  });
});
