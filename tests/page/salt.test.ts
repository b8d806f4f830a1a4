import { describe, expect, it } from 'vitest';
import { saltCount } from '../../collector/core/salting-facts.ts';
import type { Entry, Firing } from '../../dashboard/firing.ts';
import type { Moment } from '../../dashboard/moment.ts';
import { firingAt } from '../../dashboard/replay.ts';
import { saltIsAtHand, saltNow, saltOf } from '../../dashboard/salt.ts';
import { follow, heard, welcomed } from './pages.ts';
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

const before = { ...firingAt(recordAt(9), LIT_AT + 9 * 60 * MINUTE), plan };
const momentOf = (log: Entry[], part: Partial<Firing> = {}): Moment => ({
  firing: { ...before, stage: 'salting', ...part },
  log,
  now: 60 * MINUTE,
  fresh: { ageMs: 0, stale: false, quietForMs: null },
  links: [],
});

describe('the salt of a moment', () => {
  it('leaves out what was taken back, and takes a charge of the plan where no weight was said', () => {
    const log = [charge(0, 'left', 100), charge(1, 'right', 900, true), charge(2, 'right')];
    expect(saltOf(momentOf(log)).inKg).toBeCloseTo((100 + plan.chargeG) / 1000, 9);
  });

  it('waits when the alert for too cold is up, and when the heat has dipped', () => {
    const kiln = { smoothC: 1225, climbCPerH: 5, climbSdCPerH: 2 };
    const saltHeat = { beganAt: 0, peakC: 1240, lowC: 1220, nowC: 1230, shortC: 15 };
    const alert = {
      id: 'salt-pause//1',
      name: 'salt-pause' as const,
      probe: null,
      priority: 'look-soon' as const,
      raisedAt: 1,
      text: '',
      acknowledged: null,
    };
    const log = [charge(0, 'left', 100)];
    expect(saltNow(momentOf(log, { kiln, saltHeat, alerts: [] })).say).toBe('wait');
    expect(saltNow(momentOf(log, { kiln, saltHeat, alerts: [{ alert, clearedAt: null }] })).say).toBe('cold');
    expect(saltNow(momentOf(log, { kiln, saltHeat, alerts: [{ alert, clearedAt: 2 }] })).say).toBe('wait');
  });

  it('has the heat around the newest lot as it was last told', () => {
    const heat = { beganAt: 5, peakC: 1240, lowC: 1220, nowC: 1230, shortC: 15 };
    const count = saltCount([{ at: 5, hole: 'left', g: 100 }], [], plan, 5);
    const told = {
      type: 'salting' as const,
      n: 11,
      at: 5,
      count,
      heat,
      earlier: [heat],
      say: 'wait' as const,
    };
    expect(follow(welcomed(16), heard(told)).firing?.saltHeat).toEqual(heat);
    const last = { reading: null, forecast: null, salting: told };
    expect(welcomed(16, { last }).firing?.saltHeat).toEqual(heat);
    expect(welcomed(16, { last }).firing?.earlierLots).toEqual([heat]);
    expect(welcomed(16).firing?.saltHeat).toBeNull();
  });

  it('in a past firing is what the record shows at that moment', () => {
    const record = recordAt(14);
    const atMs = record.curve.at.at(-1) ?? 0;
    const lot = atMs - 10 * MINUTE;
    const salted = { ...record, log: [charge(lot, 'left', 500)] };
    const { saltHeat } = firingAt(salted, atMs);
    const means = record.curve.at.flatMap((at, i) => {
      const cells = record.curve.probes.flatMap(({ tempC }) => tempC[i] ?? []);
      const sumC = cells.reduce((sum, cell) => sum + cell, 0);
      return at > lot - 15 * MINUTE && at <= lot ? [sumC / cells.length] : [];
    });
    expect(saltHeat?.beganAt).toBe(lot);
    expect(means.length).toBeGreaterThan(5);
    expect(saltHeat?.peakC).toBeCloseTo(Math.max(...means), 6);
    expect(firingAt(salted, lot - 1).saltHeat).toBeNull();
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
