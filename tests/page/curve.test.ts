import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { heatWords, spreadLabels, tempMarks, timeMarks, timeWords } from '../../dashboard/curve/axis.ts';
import {
  type Cell,
  columnsFrom,
  countUpTo,
  emptyColumns,
  followTo,
  layInStretch,
  pushReading,
  valueColumns,
} from '../../dashboard/curve/columns.ts';
import { crowds } from '../../dashboard/curve/crowds.ts';
import { thinOldRows } from '../../dashboard/curve/thin.ts';
import { cFromF } from '../../protocol/units.ts';
import { readingAt } from './pages.ts';
import { curveUntil, LIT_AT } from './story.ts';

const MINUTE = 60_000;
const HOUR = 60 * MINUTE;
const GAP_MS = 10_000;

/** A column's drawn pieces: runs of numbers between gaps, cells of other boards left out, as the plot joins them. */
function pieces(cells: readonly Cell[]): number[][] {
  const drawn: number[][] = [[]];
  for (const cell of cells) {
    if (typeof cell === 'number') drawn.at(-1)?.push(cell);
    else if (cell === null && drawn.at(-1)?.length) drawn.push([]);
  }
  return drawn.filter((piece) => piece.length > 0);
}

function one(at: number, probe: string, tempC: number | null, part: { late?: boolean } = {}) {
  return readingAt(at, 1, {
    ...part,
    probes: [{ probe, tempC, smoothC: tempC, climbCPerH: 0, climbSdCPerH: 1, cone: null, fault: null }],
    kiln: { smoothC: tempC, climbCPerH: 0, climbSdCPerH: 1 },
  });
}

describe('the curve as it grows', () => {
  it('draws a gap where nothing was read for longer than is usual', () => {
    const columns = emptyColumns();
    for (const at of [0, 1000, 2000, 60_000, 61_000]) pushReading(columns, one(at, 'front', at), GAP_MS);
    expect(pieces(columns.probes[0]?.tempC ?? [])).toEqual([
      [0, 1000, 2000],
      [60_000, 61_000],
    ]);
    expect(pieces(columns.kiln)).toHaveLength(2);
    expect([...columns.at].sort((a, b) => a - b)).toEqual(columns.at);
  });

  it('draws no line through a dead probe', () => {
    const columns = emptyColumns();
    [700, 710, null, null, 740].forEach((tempC, i) => {
      pushReading(columns, one(i * 1000, 'front', tempC), GAP_MS);
    });
    expect(pieces(columns.probes[0]?.tempC ?? [])).toEqual([[700, 710], [740]]);
  });

  it("joins each board's readings though the other board's lie between them, and breaks the one that fell silent", () => {
    const columns = emptyColumns();
    for (let i = 0; i < 30; i += 1) {
      pushReading(columns, one(i * 1000, 'front', 100 + i), GAP_MS);
      if (i < 5 || i > 24) pushReading(columns, one(i * 1000 + 500, 'flue', 50 + i), GAP_MS);
    }
    const [front, flue] = columns.probes.map(({ tempC }) => pieces(tempC));
    expect(front).toHaveLength(1);
    expect(flue).toEqual([
      [50, 51, 52, 53, 54],
      [75, 76, 77, 78, 79],
    ]);
  });

  it('takes what the curve may draw from the message: nothing of a probe that is not believed', () => {
    const columns = emptyColumns();
    const reading = one(0, 'front', 900);
    pushReading(
      columns,
      { ...reading, probes: reading.probes.map((probe) => ({ ...probe, curveC: null })) },
      GAP_MS,
    );
    expect(columns.probes[0]?.tempC).toEqual([null]);
  });

  it('late readings go to their place, close the gap of their probe, and leave the kiln as it was', () => {
    const columns = emptyColumns();
    for (const at of [0, 1000, 21_000, 22_000]) pushReading(columns, one(at, 'front', at), GAP_MS);
    for (let at = 2000; at < 21_000; at += 1000)
      pushReading(columns, one(at, 'front', at, { late: true }), GAP_MS);
    expect(columns.at).toEqual(Array.from({ length: 23 }, (_, i) => i * 1000));
    expect(pieces(columns.probes[0]?.tempC ?? [])).toHaveLength(1);
    expect(pieces(columns.kiln)).toEqual([
      [0, 1000],
      [21_000, 22_000],
    ]);
  });

  it('keeps its columns equally long and its times rising, whatever comes in whatever order', () => {
    const reading = fc.record({
      at: fc.nat(200).map((s) => s * 500),
      probe: fc.constantFrom('front', 'back'),
      tempC: fc.option(fc.integer({ min: 0, max: 1300 })),
      late: fc.boolean(),
    });
    fc.assert(
      fc.property(fc.array(reading, { maxLength: 60 }), (readings) => {
        const columns = emptyColumns();
        for (const { at, probe, tempC, late } of readings)
          pushReading(columns, one(at, probe, tempC, { late }), GAP_MS);
        for (const cells of valueColumns(columns)) expect(cells).toHaveLength(columns.at.length);
        for (let row = 1; row < columns.at.length; row += 1)
          expect(columns.at[row]).toBeGreaterThan(columns.at[row - 1] ?? Number.POSITIVE_INFINITY);
      }),
    );
  });
});

describe('thinning', () => {
  const cell = fc.option(fc.integer({ min: -50, max: 1400 }), { nil: null });

  it('keeps least, greatest and every kind of gap of each column, and only rows that were there', () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(cell, cell), { minLength: 60, maxLength: 400 }), (rows) => {
        const at = rows.map((_, i) => i * 1000);
        const columns = [rows.map(([a]) => a as Cell), rows.map(([, b]) => b as Cell)];
        thinOldRows(at, columns, 40);
        columns.forEach((cells, index) => {
          const before = rows.map((row) => row[index] ?? null);
          const known = before.filter((value) => value !== null);
          const kept = cells.filter((value) => typeof value === 'number');
          if (known.length > 0) {
            expect(Math.min(...kept)).toBe(Math.min(...known));
            expect(Math.max(...kept)).toBe(Math.max(...known));
          }
          expect(cells.includes(null)).toBe(before.includes(null));
          at.forEach((time, row) => {
            expect(cells[row]).toBe(before[time / 1000]);
          });
        });
      }),
    );
  });

  it('holds to its measure, and leaves the newest rows as they were', () => {
    const at = Array.from({ length: 20_000 }, (_, i) => i * 1000);
    const temps: Cell[] = at.map((_, i) => i % 37);
    thinOldRows(at, [temps], 2000);
    expect(at.length).toBeLessThanOrEqual(2000);
    expect(at.slice(-1000)).toEqual(Array.from({ length: 1000 }, (_, i) => (19_000 + i) * 1000));
  });
});

describe('a stretch that comes again, finer', () => {
  it('takes the place of the same stretch and of nothing else', () => {
    const coarse = columnsFrom(curveUntil(LIT_AT + 6 * HOUR, 30 * MINUTE));
    const fine = curveUntil(LIT_AT + 6 * HOUR, MINUTE);
    const from = fine.at.findIndex((at) => at >= LIT_AT + 4 * HOUR);
    const stretch = {
      at: fine.at.slice(from),
      kiln: fine.kiln.slice(from),
      kilnClimbCPerH: fine.kilnClimbCPerH.slice(from),
      kilnClimbSdCPerH: fine.kilnClimbSdCPerH.slice(from),
      probes: fine.probes.map(({ probe, tempC }) => ({ probe, tempC: tempC.slice(from) })),
    };
    const before = coarse.at.filter((at) => at < (stretch.at[0] ?? 0));
    const after = coarse.at.filter((at) => at > (stretch.at.at(-1) ?? 0));
    layInStretch(coarse, stretch);
    expect(coarse.at).toEqual([...before, ...stretch.at, ...after]);
    expect(coarse.kiln.slice(before.length, before.length + stretch.at.length)).toEqual(stretch.kiln);
    for (const cells of valueColumns(coarse)) expect(cells).toHaveLength(coarse.at.length);
  });
});

describe('following a record', () => {
  const source = columnsFrom(curveUntil(LIT_AT + 3 * HOUR, MINUTE));

  it('shows at any moment what was there, played forward or back', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: -30, max: 200 }), { maxLength: 12 }), (minutes) => {
        let columns = emptyColumns();
        for (const minute of minutes) {
          const now = LIT_AT + minute * MINUTE;
          columns = followTo(columns, source, now);
          const rows = source.at.filter((at) => at <= now).length;
          expect(columns.at).toEqual(source.at.slice(0, rows));
          expect(columns.probes.map(({ tempC }) => tempC)).toEqual(
            source.probes.map(({ tempC }) => tempC.slice(0, rows)),
          );
        }
      }),
    );
  });

  it('counts times by halving as by looking at each', () => {
    fc.assert(
      fc.property(fc.array(fc.nat(50)), fc.nat(60), (times, now) => {
        const rising = [...times].sort((a, b) => a - b);
        expect(countUpTo(rising, now)).toBe(rising.filter((at) => at <= now).length);
      }),
    );
  });
});

describe('the axes', () => {
  it('marks round temperatures of the unit that is shown', () => {
    const marks = tempMarks(-10, 1300, 'F', 6).map((c) => Math.round(c * 1.8 + 32));
    expect(marks).toEqual([500, 1000, 1500, 2000]);
  });

  it.each([
    ['C', -10, 1300, 7, [0, 200, 400, 600, 800, 1000, 1200]],
    ['C', 1180, 1260, 5, [1180, 1200, 1220, 1240, 1260]],
  ] as const)('in °%s from %i to %i there are at most about %i marks', (unit, low, high, most, marks) => {
    expect(tempMarks(low, high, unit, most).map((c) => c + 0)).toEqual(marks);
  });

  it('marks times in round steps since light-up', () => {
    const hours = timeMarks(LIT_AT - 10 * MINUTE, LIT_AT + 13 * HOUR, LIT_AT, 5).map(
      (at) => (at - LIT_AT) / HOUR,
    );
    expect(hours).toEqual([0, 3, 6, 9, 12]);
  });

  it('says how long in, and the clock', () => {
    const place = { locale: 'en-US', timeZone: 'UTC' };
    const words = (at: number, lit: number | null) => timeWords(at, lit, place).replaceAll('\u00a0', ' ');
    expect(words(LIT_AT + 2.5 * HOUR, LIT_AT)).toBe('2 h 30\n4:30 pm');
    // A whole hour never looks like a time of day.
    expect(words(LIT_AT + 6 * HOUR, LIT_AT)).toBe('6 h\n8 pm');
    expect(words(LIT_AT - 10 * MINUTE, LIT_AT)).toBe('−10 min\n1:50 pm');
    expect(words(LIT_AT + HOUR, null)).toBe('3 pm');
    expect(words(LIT_AT, LIT_AT)).toBe('lit\n2 pm');
    expect(words(LIT_AT + 76 * HOUR, LIT_AT)).toBe('3 d 4 h\n6 pm');
  });
});

describe('the names at the ends of the lines', () => {
  it('never lie on each other, stay in their order and within the plot', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: -50, max: 450 }), { minLength: 1, maxLength: 6 }), (wanted) => {
        const placed = spreadLabels(wanted, 20, 0, 400);
        const order = wanted.map((_, i) => i).sort((a, b) => (wanted[a] ?? 0) - (wanted[b] ?? 0));
        order.forEach((index, i) => {
          const y = placed[index] ?? Number.NaN;
          expect(y).toBeGreaterThanOrEqual(0);
          expect(y).toBeLessThanOrEqual(400);
          const above = placed[order[i - 1] ?? -1];
          if (above !== undefined) expect(y - above).toBeGreaterThanOrEqual(20);
        });
      }),
    );
  });

  it('stand where they want where there is room', () => {
    expect(spreadLabels([300, 100], 20, 0, 400)).toEqual([300, 100]);
  });
});

describe('marks that would lie on each other', () => {
  it('are one crowd within their width of its first, none is lost, and order does not matter', () => {
    const at = (times: number[]) =>
      crowds(
        times.map((time) => ({ at: time })),
        (time) => time / 1000,
        13,
      );
    const sizes = (times: number[]) => at(times).map((crowd) => crowd.length);
    expect(sizes([])).toEqual([]);
    expect(sizes([0, 12_999, 13_000, 40_000])).toEqual([2, 1, 1]);
    expect(sizes([40_000, 13_000, 0, 12_999])).toEqual([2, 1, 1]);
    fc.assert(
      fc.property(fc.array(fc.nat(600_000)), (times) => {
        const found = at(times);
        expect(found.flat()).toHaveLength(times.length);
        const firsts = found.map(([first]) => (first?.at ?? 0) / 1000);
        for (let i = 1; i < firsts.length; i += 1)
          expect((firsts[i] ?? 0) - (firsts[i - 1] ?? 0)).toBeGreaterThanOrEqual(13);
      }),
    );
  });
});

it('the heat axis says its unit', () => {
  expect(heatWords([cFromF(0), cFromF(1000), cFromF(2000)], 'F')).toEqual(['0°', '1000°', '2000°F']);
  expect(heatWords([0, 500], 'C')).toEqual(['0°', '500°C']);
});
