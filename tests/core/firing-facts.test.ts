/** The facts of a firing: on the sample captures by figures that were read off them by hand, and two laid side by side. */
import { beforeAll, describe, expect, it } from 'vitest';
import { apart, atHeat } from '../../collector/core/firing-facts/compare.ts';
import { firstAt, newCourse, noteCourse } from '../../collector/core/firing-facts/course.ts';
import { firingFacts } from '../../collector/core/firing-facts/facts.ts';
import { figureOf } from '../../collector/core/firing-facts/figures.ts';
import { yieldsTold } from '../../collector/core/firing-facts/yields.ts';
import { newLogBook, writeInBook } from '../../collector/core/log-book.ts';
import { type FiringFacts, firingFactsSchema } from '../../protocol/firing-facts.ts';
import type { KnownLogEntry } from '../../protocol/log-entries.ts';
import type { Stage } from '../../protocol/stages.ts';
import { capturedFeed } from '../support/captured-feed.ts';
import { planOf } from '../support/kiln.ts';

const MINUTE = 60_000;
const HOUR = 60 * MINUTE;
const T0 = Date.UTC(2031, 2, 8, 5);
const time = (text: string) => Date.parse(`${text}Z`);

describe('a firing of which everything was logged', () => {
  let facts: FiringFacts;
  beforeAll(() => {
    facts = firingFactsSchema.parse(capturedFeed('good-firing').facts());
  }, 240_000);

  it('has the times that stand in its log', () => {
    expect(facts.litAt).toBe(time('2031-03-07T16:20:00.000'));
    expect(facts.saltFrom).toBe(time('2031-03-08T13:57:22.000'));
    expect(facts.saltTo).toBe(time('2031-03-08T15:00:09.000'));
    expect(facts.closedAt).toBe(time('2031-03-08T15:50:09.000'));
    expect(facts.weather).toEqual(['Dry, 9 °C, a light wind from the west.']);
    // It ends five hours after the clam-up.
    expect([facts.cooledAt, facts.openedAt]).toEqual([null, null]);
  });

  it('has the salt and the wood of its log, summed by hand, and the stokes within a minute as one', () => {
    expect([facts.saltKg, facts.charges]).toEqual([expect.closeTo(22.7, 9), 63]);
    expect(facts.woodKg).toBeCloseTo(1940.5, 6);
    // 138 lines say stoke, of which two are 40 s apart.
    expect(facts.stokes).toBe(137);
    expect((facts.woodKg ?? 0) / facts.kgPerFaceCord).toBeCloseTo(3.34, 2);
  });

  it('has the heats of its curve: salting heat a little before the first salt', () => {
    const beforeSaltMin = ((facts.saltFrom ?? 0) - (facts.saltingHeatAt ?? 0)) / MINUTE;
    expect(beforeSaltMin).toBeGreaterThan(2);
    expect(beforeSaltMin).toBeLessThan(20);
    expect(facts.places.map(({ probe, lost }) => [probe, lost])).toEqual([
      ['front-low', false],
      ['back-low', false],
      ['back-high', false],
    ]);
    for (const { topC, cone } of facts.places) {
      expect(Math.abs((topC ?? 0) - (facts.topC ?? 0))).toBeLessThan(6);
      expect(cone).toBeGreaterThanOrEqual(9);
      expect(cone).toBeLessThan(10);
    }
    expect([facts.stalls, facts.stallMs, facts.tooFastMs]).toEqual([0, 0, 0]);
  });

  it('has its way up in steps that never go back, all of the wood by the end of it', () => {
    const { tempC, afterMs, woodKg, saltKg, stokes } = facts.wayUp;
    expect(tempC.at(-1)).toBe(1245);
    for (const column of [tempC, afterMs, woodKg, saltKg, stokes])
      column.forEach((value, row) => {
        if (row > 0) expect(value).toBeGreaterThanOrEqual(column[row - 1] ?? 0);
      });
    const at1205 = tempC.indexOf(1205);
    expect(saltKg[at1205]).toBe(0);
    expect(Math.abs((afterMs[at1205] ?? 0) + (facts.litAt ?? 0) - (facts.saltingHeatAt ?? 0))).toBeLessThan(
      4 * MINUTE,
    );
  });
});

describe('a firing of which nobody logged anything', () => {
  it('has its stalls as the alert told of them, and says nothing of wood and salt', () => {
    const facts = capturedFeed('wet-wood-two-stalls').facts();
    // Raised and cleared as `rerun` prints: 04:57:45 to 06:47:42, and 14:29:03 to 16:01:21.
    expect([facts.stalls, facts.stallMs]).toEqual([2, (109 * 60 + 57 + 92 * 60 + 18) * 1000]);
    // The surge after the first stall is at the limit of 83 °C/h, and not over it for long enough.
    expect(facts.tooFastMs).toBe(0);
    expect(facts.woodKg).toBeNull();
    for (const name of ['stokes', 'saltKg', 'saltedMs', 'woodToSaltingKg', 'pieces'] as const)
      expect(figureOf(facts, name)).toBeNull();
    expect(figureOf(facts, 'burntMs')).not.toBeNull();
  }, 240_000);
});

describe('a firing one of whose probes broke', () => {
  it('goes by the places that were heard to the end', () => {
    const facts = capturedFeed('failing-probe-pulled-cable-restart').facts();
    expect(facts.places.map(({ probe, lost }) => [probe, lost])).toEqual([
      ['front-low', false],
      ['front-high', true],
      ['back-high', false],
    ]);
    expect(figureOf(facts, 'topCone')).toBeGreaterThan(9);
    expect(figureOf(facts, 'coneSpread')).toBeLessThan(1);
  }, 240_000);
});

/** Straight up at `cPerH` from 20 °C, an hour's readings at a time, closed at `closedH`, down again as fast. */
function straight(cPerH: number, closedH: number, hours: number, wood: number[] = []): FiringFacts {
  const course = newCourse();
  const stages: { from: number; stage: Stage }[] = [
    { from: T0, stage: 'climbing' },
    { from: T0 + closedH * HOUR, stage: 'cooling' },
  ];
  for (let minute = 0; minute <= hours * 60; minute += 1) {
    const hour = minute / 60;
    const tempC = 20 + cPerH * (hour <= closedH ? hour : 2 * closedH - hour);
    noteCourse(course, {
      at: T0 + minute * MINUTE,
      stage: hour < closedH ? 'climbing' : 'cooling',
      kilnC: tempC,
      probes: [
        { probe: 'a', smoothC: tempC, cone: '6' },
        { probe: 'b', smoothC: tempC + 10, cone: '01' },
      ],
    });
  }
  const book = newLogBook();
  wood.forEach((kg, index) => {
    const entry: KnownLogEntry = { log: 'stoke', hole: index % 2 ? 'left' : 'right', kg };
    writeInBook(book, T0 + index * HOUR, entry);
  });
  return firingFacts({
    course,
    topC: 20 + cPerH * closedH,
    stages,
    alerts: [
      { name: 'stall', raisedAt: T0 + HOUR, clearedAt: T0 + 1.5 * HOUR },
      { name: 'stall', raisedAt: T0 + 1.7 * HOUR, clearedAt: T0 + 1.8 * HOUR },
      { name: 'stall', raisedAt: T0 + 3 * HOUR, clearedAt: null },
    ],
    book,
    plan: planOf({ saltingStartC: 220, unbrickC: 200 }),
    lastAt: T0 + 3.25 * HOUR,
  });
}

describe('a straight climb', () => {
  const facts = straight(100, 5, 9, [40, 40, 40]);

  it('reaches its heats when it must, and cools to the unbricking temperature by its hottest probe', () => {
    expect(figureOf(facts, 'toSaltingMs')).toBe(2 * HOUR);
    expect(figureOf(facts, 'burntMs')).toBe(5 * HOUR);
    // From 530 °C at the hotter probe to below 200: 3.3 h at 100 °C/h, or the minute after it.
    expect((figureOf(facts, 'coolingMs') ?? 0) / HOUR).toBeCloseTo(3.3, 1);
    expect(figureOf(facts, 'woodToSaltingKg')).toBe(120);
    // From cone 01 to 6 it is six steps.
    expect(figureOf(facts, 'coneSpread')).toBe(6);
  });

  it('counts stalls within 20 minutes as one, and one that still stands up to now', () => {
    expect([facts.stalls, facts.stallMs]).toEqual([2, (0.5 + 0.1 + 0.25) * HOUR]);
  });

  it('is laid beside a slower one: at one heat, at one hour, figure by figure', () => {
    const slow = straight(80, 6, 9, [30, 30, 30, 30]);
    expect(atHeat(slow, facts, 223)).toEqual({
      tempC: 220,
      behindMs: 0.5 * HOUR,
      woodKg: -30,
      saltKg: 0,
      stokes: 0,
    });
    // Beyond the top of one of them, its top is what both have reached.
    expect(atHeat(facts, slow, 2000)?.tempC).toBe(495);
    expect(atHeat(facts, slow, 10)).toBeNull();
    const by = new Map(apart(slow, facts).map((each) => [each.figure, each.by]));
    expect(by.get('toSaltingMs')).toBe(0.5 * HOUR);
    expect(by.get('woodKg')).toBe(0);
    expect(by.has('pieces')).toBe(false);
  });
});

it('a clam-up that was taken back is none: the kiln goes on, and cools from the next one', () => {
  const course = newCourse();
  const put = (minute: number, stage: Stage, tempC: number) =>
    noteCourse(course, {
      at: minute * MINUTE,
      stage,
      kilnC: tempC,
      probes: [{ probe: 'a', smoothC: tempC, cone: null }],
    });
  put(0, 'climbing', 1200);
  put(1, 'cooling', 150);
  expect(course.falls).toHaveLength(1);
  put(2, 'climbing', 1210);
  expect(course.falls).toEqual([]);
  expect(firstAt(course.heats, 1205)).toBe(2 * MINUTE);
  expect(firstAt(course.heats, 1300)).toBeNull();
});

describe('what went together with good yields', () => {
  const firings = (count: number) =>
    Array.from({ length: count }, (_, i) => ({
      facts: { ...straight(100 - 2 * i, 5, 6), pieces: 300 + i, saltKg: 20 - i, charges: 1, tooFastMs: i },
      share: 0.5 + i / 100,
    }));

  it('with three firings is nothing that can be said', () => {
    expect(yieldsTold(firings(3))).toMatchObject({ n: 3, together: [], leastRho: null });
  });

  it('with seven that agree in full is beyond chance, though many were looked at; what never changed is left out', () => {
    const told = yieldsTold(firings(7));
    const pieces = told.together.find(({ figure }) => figure === 'pieces');
    expect(pieces).toMatchObject({ n: 7, rho: 1, sure: true });
    expect(pieces?.p).toBeCloseTo(2 / 5040, 12);
    const topC = told.together.find(({ figure }) => figure === 'topC');
    expect(topC?.rho).toBe(-1);
    expect(told.together.some(({ figure }) => figure === 'stalls')).toBe(false);
    expect(told.looked).toBe(5);
    // Full agreement of five has a chance of 2 in 120, of six 2 in 720: a fifth of 1 in 20 is 1 in 100.
    expect(told.leastFirings).toBe(6);
    expect(told.leastRho).toBeLessThan(1);
  });

  it('with five that agree in full may be chance: so many figures were looked at', () => {
    const told = yieldsTold(firings(5));
    expect(told.together[0]).toMatchObject({ rho: expect.closeTo(1, 9), sure: false });
    expect(told.leastRho).toBeNull();
  });
});
