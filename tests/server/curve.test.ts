import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  addReading,
  type CurveStore,
  curveOf,
  drawnC,
  newCurve,
  setPeriod,
} from '../../collector/server/curve.ts';

const PERIOD_MS = 1000;
/** 5 periods: a longer silence is a gap. */
const GAP_MS = 5 * PERIOD_MS;

interface Sample {
  at: number;
  tempC: number | null;
}

function storeOf(samples: readonly Sample[], maxRows?: number): CurveStore {
  const store = newCurve(maxRows);
  setPeriod(store, 'low', PERIOD_MS);
  for (const { at, tempC } of samples) add(store, at, tempC);
  return store;
}

function add(store: CurveStore, at: number, tempC: number | null): void {
  addReading(store, {
    at,
    kiln: {
      smoothC: tempC,
      climbCPerH: tempC === null ? null : -tempC,
      climbSdCPerH: tempC === null ? null : 20,
    },
    probes: [{ probe: 'low', curveC: tempC }],
  });
}

function lowOf(store: CurveStore, width: number, from?: number, to?: number) {
  const curve = curveOf(store, { width, from, to });
  const column = curve.probes.find(({ probe }) => probe === 'low')?.tempC ?? [];
  return curve.at.map((at, row) => ({ at, tempC: column[row] ?? null }));
}

const cents = (value: number) => Math.round(value * 100);

/** A firing's worth of trouble: steady readings, lost ones, long silences, and readings with no number. */
const samples = fc
  .array(
    fc.record({
      waitMs: fc.oneof(
        { weight: 8, arbitrary: fc.constant(PERIOD_MS) },
        { weight: 2, arbitrary: fc.integer({ min: 1, max: GAP_MS }) },
        { weight: 1, arbitrary: fc.integer({ min: GAP_MS + 1, max: 200_000 }) },
      ),
      // Cents, so that the answer's rounding changes nothing.
      tempC: fc.option(fc.integer({ min: -5000, max: 150_000 }), { freq: 8 }),
    }),
    { minLength: 1, maxLength: 300 },
  )
  .map((steps) => {
    let at = 1_000_000;
    return steps.map(({ waitMs, tempC }): Sample => {
      at += waitMs;
      return { at, tempC: tempC === null ? null : tempC / 100 };
    });
  });
const widths = fc.integer({ min: 1, max: 400 });

/** The same grid that the page's pixels lie on: whole multiples of the bucket. */
function bucketMsOf(all: readonly Sample[], width: number): number {
  const first = all[0]?.at ?? 0;
  const last = all.at(-1)?.at ?? 0;
  return Math.max(1, Math.ceil((last - first) / width));
}

/** Whether the line between two samples is broken: by a null, or a silence too long. */
function broken(all: readonly Sample[], from: number, to: number): boolean {
  let lastAt: number | null = null;
  let nullSince = false;
  for (const { at, tempC } of all) {
    if (at < from || at > to) continue;
    if (tempC === null) {
      nullSince = true;
    } else {
      if (lastAt !== null && (nullSince || at - lastAt > GAP_MS)) return true;
      lastAt = at;
      nullSince = false;
    }
  }
  return false;
}

describe('thinning the curve', () => {
  it('keeps the least and the greatest of every bucket', () => {
    fc.assert(
      fc.property(samples, widths, (all, width) => {
        const bucketMs = bucketMsOf(all, width);
        const rows = lowOf(storeOf(all), width);
        const bucketOf = (at: number) => Math.floor(at / bucketMs);
        for (const bucket of new Set(all.map(({ at }) => bucketOf(at)))) {
          const inside = (list: readonly Sample[]) =>
            list.flatMap(({ at, tempC }) =>
              tempC !== null && bucketOf(at) === bucket ? [cents(tempC)] : [],
            );
          const raw = inside(all);
          if (raw.length === 0) continue;
          const kept = inside(rows);
          expect(kept).toContain(Math.min(...raw));
          expect(kept).toContain(Math.max(...raw));
        }
      }),
    );
  });

  it('never bridges a gap', () => {
    fc.assert(
      fc.property(samples, widths, (all, width) => {
        const bucketMs = bucketMsOf(all, width);
        const rows = lowOf(storeOf(all), width);
        for (const [index, row] of rows.entries()) {
          const next = rows[index + 1];
          if (!next || row.tempC === null || next.tempC === null) continue;
          // A drawn stretch runs from one bucket to the next: no gap may lie between what the two hold at their
          // facing ends. Within one bucket, no gap may lie between any two values.
          const start = Math.floor(row.at / bucketMs);
          const end = Math.floor(next.at / bucketMs);
          const values = (bucket: number) =>
            all.filter(({ at, tempC }) => tempC !== null && Math.floor(at / bucketMs) === bucket);
          const left = start === end ? values(start)[0] : values(start).at(-1);
          const right = start === end ? values(end).at(-1) : values(end)[0];
          if (left && right) expect(broken(all, left.at, right.at)).toBe(false);
        }
      }),
    );
  });

  it('breaks the line as often as the readings do, when it is not thinned', () => {
    fc.assert(
      fc.property(samples, (all) => {
        const rows = lowOf(storeOf(all), 100_000_000);
        const values = rows.filter(({ tempC }) => tempC !== null);
        expect(values.map(({ at, tempC }) => ({ at, tempC: cents(tempC ?? 0) }))).toEqual(
          all.flatMap(({ at, tempC }) => (tempC === null ? [] : [{ at, tempC: cents(tempC) }])),
        );
        for (const [index, row] of rows.entries()) {
          const next = rows[index + 1];
          if (row.tempC === null || next?.tempC === null || !next) continue;
          expect(broken(all, row.at, next.at)).toBe(false);
        }
        const stretches = rows.filter(
          ({ tempC }, index) => tempC !== null && (rows[index - 1]?.tempC ?? null) === null,
        );
        let expected = 0;
        let lastAt: number | null = null;
        for (const { at, tempC } of all) {
          if (tempC === null) lastAt = null;
          else {
            if (lastAt === null || at - lastAt > GAP_MS) expected += 1;
            lastAt = at;
          }
        }
        expect(stretches).toHaveLength(expected);
      }),
    );
  });

  it('gives two to four rows a pixel, in order of time', () => {
    fc.assert(
      fc.property(samples, widths, (all, width) => {
        const { at, kiln, kilnClimbCPerH, probes } = curveOf(storeOf(all), { width });
        expect(at.length).toBeLessThanOrEqual(4 * (width + 1));
        expect([...at].sort((a, b) => a - b)).toEqual(at);
        for (const column of [kiln, kilnClimbCPerH, ...probes.map(({ tempC }) => tempC)])
          expect(column).toHaveLength(at.length);
      }),
    );
  });

  it('puts late readings in their place, whatever the order of arrival', () => {
    fc.assert(
      fc.property(
        samples.chain((all) =>
          fc.tuple(fc.constant(all), fc.shuffledSubarray(all, { minLength: all.length })),
        ),
        widths,
        ([all, shuffled], width) => {
          expect(curveOf(storeOf(shuffled), { width })).toEqual(curveOf(storeOf(all), { width }));
        },
      ),
    );
  });
});

describe('a probe that is dead', () => {
  it('leaves no line behind, while the others go on', () => {
    const store = newCurve();
    for (const probe of ['low', 'high']) setPeriod(store, probe, PERIOD_MS);
    for (let second = 0; second < 600; second += 1) {
      addReading(store, {
        at: second * 1000,
        kiln: null,
        probes: [
          { probe: 'low', curveC: second < 200 ? 800 : null },
          { probe: 'high', curveC: 900 },
        ],
      });
    }
    const { at, probes, kiln } = curveOf(store, { width: 100 });
    const [low, high] = probes;
    for (const [row, time] of at.entries()) {
      if (time >= 206_000) expect(low?.tempC[row]).toBeNull();
      expect(high?.tempC[row]).toBe(900);
      expect(kiln[row]).toBeNull();
    }
  });

  it.each([
    [[], 812.5],
    [['drift' as const], 812.5],
    [['stuck' as const], null],
    [['spike' as const], null],
    [['pulled' as const], null],
    [['open' as const], null],
    [['drift' as const, 'stuck' as const], null],
  ])('is drawn by its flags %j as %j', (flags, drawn) => {
    expect(drawnC(812.5, flags)).toBe(drawn);
  });
});

describe('two boards', () => {
  it('share the rows without breaking each other: a slow board has a line through the fast one', () => {
    const store = newCurve();
    setPeriod(store, 'fast', 1000);
    setPeriod(store, 'slow', 10_000);
    for (let second = 0; second <= 100; second += 1) {
      const kiln = { smoothC: 100, climbCPerH: 0, climbSdCPerH: 20 };
      addReading(store, { at: second * 1000, kiln, probes: [{ probe: 'fast', curveC: 500 + (second % 2) }] });
      if (second % 10 === 0)
        addReading(store, { at: second * 1000, kiln, probes: [{ probe: 'slow', curveC: second }] });
    }
    const { at, probes } = curveOf(store, { width: 10_000 });
    const [fast, slow] = probes;
    expect(at).toHaveLength(101);
    expect(fast?.tempC).toEqual(at.map((_, second) => 500 + (second % 2)));
    // On the straight line between the slow board's own readings.
    expect(slow?.tempC).toEqual(at.map((_, second) => second));
  });
});

describe('the window', () => {
  it('gives a stretch at its own grain, and runs a little beyond it', () => {
    const store = storeOf(
      Array.from({ length: 10_000 }, (_, second) => ({ at: second * 1000, tempC: second / 10 })),
    );
    const rows = lowOf(store, 200, 5_000_000, 5_100_000);
    expect(rows[0]?.at).toBeLessThan(5_000_000);
    expect(rows.at(-1)?.at).toBeGreaterThan(5_100_000);
    const inside = rows.filter(({ at }) => at >= 5_000_000 && at <= 5_100_000);
    expect(inside).toHaveLength(101);
    expect(inside[50]).toEqual({ at: 5_050_000, tempC: 505 });
  });

  it('is empty where nothing has been read', () => {
    expect(curveOf(newCurve(), { width: 500 })).toEqual({
      at: [],
      kiln: [],
      kilnClimbCPerH: [],
      kilnClimbSdCPerH: [],
      probes: [],
    });
  });
});

describe('a firing without end', () => {
  it('stays within its rows and keeps every peak and every gap', () => {
    const maxRows = 1024;
    const store = newCurve(maxRows);
    setPeriod(store, 'low', PERIOD_MS);
    const total = 40_000;
    const silent = (second: number) => second >= 10_000 && second < 14_000;
    for (let second = 0; second < total; second += 1) {
      if (!silent(second)) add(store, second * 1000, second % 7919 === 0 ? 1300 : 700);
      expect(store.at.length).toBeLessThanOrEqual(maxRows);
    }
    expect(store.length).toBeLessThanOrEqual(maxRows);
    const rows = lowOf(store, 200);
    for (let peak = 0; peak < total; peak += 7919) {
      if (silent(peak)) continue;
      const near = rows.filter(
        ({ at, tempC }) => Math.abs(at - peak * 1000) <= store.grainMs + 200_000 && tempC === 1300,
      );
      expect(near.length).toBeGreaterThan(0);
    }
    const within = rows.filter(({ at }) => at > 10_500_000 && at < 13_500_000);
    expect(within.every(({ tempC }) => tempC === null)).toBe(true);
    expect(rows.some(({ at, tempC }) => at > 9_000_000 && at < 14_000_000 && tempC === null)).toBe(true);
    expect(rows.filter(({ tempC }) => tempC === null).length).toBeLessThanOrEqual(3);
  });
});
