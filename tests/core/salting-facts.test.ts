/** The salt so far: what is in, which hole is next, the peak before a lot, the draw rings, and what to do. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { CoreOutput, SaltingFigures } from '../../collector/core/inputs.ts';
import {
  type DrawRing,
  drawsSay,
  earlierLots,
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
  const levelsOf = (...rows: [minute: number, tempC: number | null][]) => ({
    at: rows.map(([minute]) => minute * MINUTE),
    c: rows.map(([, tempC]) => tempC),
  });
  const began = 20 * MINUTE;
  it('is the highest of the quarter hour before it, and the dip the lowest since', () => {
    const levels = levelsOf([4, 1260], [6, 1240], [19, 1230], [21, 1212], [24, 1225]);
    expect(lotHeat(levels, began, 24 * MINUTE)).toEqual({
      beganAt: began,
      peakC: 1240,
      lowC: 1212,
      nowC: 1225,
      shortC: 15,
    });
  });
  it('of the lots before the newest is as it was when the next one went in', () => {
    const levels = levelsOf(
      [4, 1240],
      [19, 1230],
      [21, 1212],
      [29, 1235],
      [31, 1222],
      [38, 1236],
      [41, 1230],
    );
    const lots = [20, 30, 40].map((minute) => minute * MINUTE);
    expect(earlierLots(levels, lots)).toEqual([
      { beganAt: began, peakC: 1230, lowC: 1212, nowC: 1235, shortC: 0 },
      { beganAt: 30 * MINUTE, peakC: 1235, lowC: 1222, nowC: 1236, shortC: 0 },
    ]);
    expect(earlierLots(levels, [began])).toEqual([]);
  });
  it.each([
    [
      'falling, it is as far below as it stands',
      [
        [21, 1230],
        [22, 1215],
      ],
      22,
      25,
    ],
    [
      'the crest since the low counts, though a stoke dips it again',
      [
        [21, 1215],
        [24, 1239.5],
        [25, 1232],
      ],
      25,
      0,
    ],
    [
      'a crest of before the low does not count',
      [
        [21, 1239.5],
        [25, 1215],
      ],
      25,
      25,
    ],
    [
      'a crest of more than ten minutes ago does not count',
      [
        [21, 1215],
        [24, 1240],
        [35, 1220],
      ],
      35,
      20,
    ],
    [
      'a reading that failed is passed over',
      [
        [21, 1215],
        [22, null],
        [23, 1240],
      ],
      23,
      0,
    ],
  ] as const)('%s', (_, after, minute, shortC) => {
    const levels = levelsOf([19, 1240], ...after.map(([at, c]): [number, number | null] => [at, c]));
    expect(lotHeat(levels, began, minute * MINUTE)?.shortC).toBe(shortC);
  });
  it.each([
    ['nothing was read before it', levelsOf([21, 1230]), 21],
    ['nothing has been read for long', levelsOf([19, 1240], [21, 1230]), 27],
    ['the last cell is empty', levelsOf([19, 1240], [21, null]), 21],
  ])('is not known where %s', (_, levels, minute) => {
    expect(lotHeat(levels, began, minute * MINUTE)).toBeNull();
  });
});

describe('a large charge in a kiln that is stoked', () => {
  // A charge costs 20 to 50 °F where it is large: common practice, no source. Here 45 °F, 25 °C, gone after some 20 minutes.
  const BASE = Date.UTC(2031, 2, 8);
  const dipC = (minute: number) =>
    minute < 120 ? 0 : -25 * Math.min(1, minute - 120) * Math.exp((120 - minute) / 6);
  function sayings() {
    const state = newFiring(plan);
    const probes = [{ name: 'p', couple: 'S' as const, form: { kind: 'deg' as const } }];
    step(state, {
      kind: 'hello',
      at: BASE,
      hello: { board: 'b', boot: '1', periodMs: 5000, keeps: 0, probes },
    });
    const told = new Map<number, SaltingFigures>();
    for (let second = 5; second < 150 * 60; second += 5) {
      const minute = second / 60;
      const at = BASE + second * 1000;
      if (second === 120 * 60)
        step(state, { kind: 'log', at, log: entryOf({ log: 'salt', hole: 'left', g: 2000, id: 's' }) });
      const saw = -6 * Math.exp(-(minute % 7) / 1.5);
      const raw = 1230 + saw + dipC(minute);
      const rest = {
        board: 'b',
        boot: '1',
        seq: second,
        uptimeMs: second * 1000,
        coldJunctionC: 20,
        late: false,
      };
      const { outputs } = step(state, { kind: 'reading', at, ...rest, values: [{ probe: 'p', raw }] });
      for (const output of outputs)
        if (output.kind === 'salting') told.set(Math.floor(minute), output.salting);
    }
    return told;
  }
  it('is waited for from its first minutes on, and no longer than until the heat is back', () => {
    const told = sayings();
    expect(told.get(122)?.say).toBe('wait');
    expect(told.get(124)?.say).toBe('wait');
    expect(told.get(144)?.say).toBe('go');
    const { peakC, lowC } = told.get(144)?.heat ?? { peakC: 0, lowC: 0 };
    expect(Math.abs(peakC - 1230)).toBeLessThan(1.5);
    expect(peakC - lowC).toBeGreaterThan(18);
  });
});

describe('what to do about the salt', () => {
  const now = { levelC: 1230, topC: 1280, paused: false, hot: true, over: false };
  const heat = (shortC: number) => ({ beganAt: 0, peakC: 1240, lowC: 1220, nowC: 1230, shortC });
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
