/** The log book: salt, draws and stokes as logged, and what an undo leaves of them. */
import { describe, expect, it } from 'vitest';
import {
  factsOf,
  isPulled,
  type LogBook,
  newLogBook,
  planInBook,
  writeInBook,
} from '../../collector/core/log-book.ts';
import { medianInterval } from '../../collector/core/median-interval.ts';
import { parseLogEntry } from '../../protocol/log-entries.ts';
import { entryOf, MINUTE_MS, START_MS } from '../support/kiln.ts';

type Line = [minute: number, entry: Record<string, unknown>];

function bookOf(lines: readonly Line[]): LogBook {
  const book = newLogBook();
  for (const [minute, entry] of lines) write(book, minute, entry);
  return book;
}

function write(book: LogBook, minute: number, entry: Record<string, unknown>) {
  const log = entryOf(entry);
  return log.known ? writeInBook(book, START_MS + minute * MINUTE_MS, log.entry) : null;
}

/** A quarter cup of salt: common practice, no source; its weight is the plan's. */
const CHARGE_G = 73;
const minutesOf = (at: number | null): number | null => (at === null ? null : (at - START_MS) / MINUTE_MS);

const salt = (id: string, g?: number) => ({
  log: 'salt',
  hole: 'left',
  id,
  ...(g === undefined ? {} : { g }),
});
const stoke = (id: string, hole = 'left') => ({ log: 'stoke', hole, id });
const undo = (id: string) => ({ log: 'undo', id });

describe('salt', () => {
  it.each<{ what: string; lines: Line[]; salt: ReturnType<typeof factsOf>['salt'] }>([
    { what: 'none', lines: [], salt: { inKg: 0, startedAt: null, lastAt: null, ended: false } },
    {
      what: 'with and without a weight',
      lines: [
        [0, salt('a', 500)],
        [2, salt('b')],
        [4, salt('c', 0)],
      ],
      salt: { inKg: 0.573, startedAt: 0, lastAt: 4, ended: false },
    },
    {
      what: 'one taken back',
      lines: [
        [0, salt('a', 500)],
        [2, salt('b', 300)],
        [3, undo('a')],
      ],
      salt: { inKg: 0.3, startedAt: 2, lastAt: 2, ended: false },
    },
    {
      what: 'all taken back',
      lines: [
        [0, salt('a', 500)],
        [1, undo('a')],
      ],
      salt: { inKg: 0, startedAt: null, lastAt: null, ended: false },
    },
    {
      what: 'written down out of order',
      lines: [
        [9, salt('a', 100)],
        [3, salt('b', 100)],
      ],
      salt: { inKg: 0.2, startedAt: 3, lastAt: 9, ended: false },
    },
    {
      what: 'ended',
      lines: [
        [0, salt('a', 100)],
        [5, { log: 'end-salt', id: 'e' }],
      ],
      salt: { inKg: 0.1, startedAt: 0, lastAt: 0, ended: true },
    },
    {
      what: 'ended, and the end taken back',
      lines: [
        [0, salt('a', 100)],
        [5, { log: 'end-salt', id: 'e' }],
        [6, undo('e')],
      ],
      salt: { inKg: 0.1, startedAt: 0, lastAt: 0, ended: false },
    },
    {
      what: 'ended, and some more',
      lines: [
        [0, salt('a', 100)],
        [5, { log: 'end-salt', id: 'e' }],
        [8, salt('b', 100)],
      ],
      salt: { inKg: 0.2, startedAt: 0, lastAt: 8, ended: false },
    },
    {
      what: 'ended, and one from before that is delivered after it',
      lines: [
        [0, salt('a', 100)],
        [5, { log: 'end-salt', id: 'e' }],
        [3, salt('b', 100)],
      ],
      salt: { inKg: 0.2, startedAt: 0, lastAt: 3, ended: true },
    },
    {
      what: 'gone on with, and the end from before that is delivered after it',
      lines: [
        [0, salt('a', 100)],
        [8, salt('b', 100)],
        [5, { log: 'end-salt', id: 'e' }],
      ],
      salt: { inKg: 0.2, startedAt: 0, lastAt: 8, ended: false },
    },
  ])('$what', ({ lines, salt: expected }) => {
    const facts = factsOf(bookOf(lines), CHARGE_G).salt;
    expect(facts.inKg).toBeCloseTo(expected.inKg, 9);
    expect({
      ...facts,
      inKg: 0,
      startedAt: minutesOf(facts.startedAt),
      lastAt: minutesOf(facts.lastAt),
    }).toEqual({
      ...expected,
      inKg: 0,
    });
  });
});

describe('draw rings', () => {
  it.each<{ what: string; lines: Line[]; draws: number }>([
    { what: 'before any salt count for nothing', lines: [[0, { log: 'draw' }]], draws: 0 },
    {
      what: 'count from the first salt on',
      lines: [
        [0, { log: 'draw' }],
        [1, salt('a')],
        [1, { log: 'draw' }],
        [5, { log: 'draw', thickness: 'thin', id: 'd' }],
      ],
      draws: 2,
    },
    {
      what: 'can be taken back',
      lines: [
        [1, salt('a')],
        [5, { log: 'draw', thickness: 'thin', id: 'd' }],
        [6, undo('d')],
      ],
      draws: 0,
    },
  ])('$what', ({ lines, draws }) => {
    expect(factsOf(bookOf(lines), CHARGE_G).draws).toBe(draws);
  });
});

describe('the rhythm of the stokes', () => {
  const each = (minutes: number[]): Line[] => minutes.map((minute, i) => [minute, stoke(`s${i}`)]);

  it.each<{ what: string; lines: Line[]; lastAt: number | null; median: number | null }>([
    { what: 'none logged', lines: [], lastAt: null, median: null },
    { what: 'three stokes are too few', lines: each([0, 10, 20]), lastAt: 20, median: null },
    { what: 'four stokes', lines: each([0, 10, 20, 32]), lastAt: 32, median: 10 },
    {
      what: 'the last seven only',
      lines: each([0, 30, 60, 90, 95, 100, 105, 110, 115, 120]),
      lastAt: 120,
      median: 5,
    },
    {
      what: 'one long pause changes nothing',
      lines: each([0, 10, 20, 80, 90, 100]),
      lastAt: 100,
      median: 10,
    },
    { what: 'written down out of order', lines: each([20, 0, 32, 10]), lastAt: 32, median: 10 },
    {
      // Two stoke holes, one after the other, are one stoke: common practice, no source.
      what: 'both holes, half a minute apart',
      lines: [0, 10, 20, 30].flatMap((minute): Line[] => [
        [minute, stoke(`l${minute}`)],
        [minute + 0.5, stoke(`r${minute}`, 'right')],
      ]),
      lastAt: 30.5,
      median: 10,
    },
    {
      // At the very end each 2 min (mudwerks.blogspot).
      what: 'the quick end of a firing',
      lines: each([0, 2, 4, 6, 8]),
      lastAt: 8,
      median: 2,
    },
    {
      what: 'one taken back',
      lines: [...each([0, 10, 20, 30]), [33, stoke('wrong')], [34, undo('wrong')]],
      lastAt: 30,
      median: 10,
    },
  ])('$what', ({ lines, lastAt, median }) => {
    const { rhythm } = factsOf(bookOf(lines), CHARGE_G);
    expect(minutesOf(rhythm.lastAt)).toBe(lastAt);
    expect(rhythm.medianIntervalMs).toBe(median === null ? null : median * MINUTE_MS);
  });

  it('is the middle of the intervals', () => {
    expect(medianInterval([0, 1, 3])).toBeNull();
    expect(medianInterval([0, 1, 3, 6])).toBe(2);
    expect(medianInterval([])).toBeNull();
  });
});

describe('probes pulled and put back', () => {
  const pulled = (id: string, probe = 'low') => ({ log: 'pulled', probe, id });
  const back = (id: string, probe = 'low') => ({ log: 'put-back', probe, id });

  it.each<{ what: string; lines: Line[]; out: boolean }>([
    { what: 'nothing logged', lines: [], out: false },
    { what: 'pulled', lines: [[0, pulled('a')]], out: true },
    { what: 'another one pulled', lines: [[0, pulled('a', 'high')]], out: false },
    {
      what: 'pulled and put back',
      lines: [
        [0, pulled('a')],
        [1, back('b')],
      ],
      out: false,
    },
    {
      what: 'pulled by mistake',
      lines: [
        [0, pulled('a')],
        [1, undo('a')],
      ],
      out: false,
    },
    {
      what: 'tapped twice, one taken back',
      lines: [
        [0, pulled('a')],
        [0, pulled('b')],
        [1, undo('b')],
      ],
      out: true,
    },
    {
      what: 'put back by mistake',
      lines: [
        [0, pulled('a')],
        [1, back('b')],
        [2, undo('b')],
      ],
      out: true,
    },
  ])('$what', ({ lines, out }) => {
    expect(isPulled(bookOf(lines), 'low')).toBe(out);
  });
});

describe('an entry as it is read', () => {
  it('an undo that names nothing is no undo, and is kept as it is', () => {
    expect(parseLogEntry({ log: 'undo' })).toEqual({ known: false, entry: { log: 'undo' } });
    expect(parseLogEntry({ log: 'undo', id: 'a' })?.known).toBe(true);
  });

  // RFC 3339, section 5.6: a time ends with Z or with an offset.
  it.each(['2031-03-08T05:00:00Z', '2031-03-08T05:00:00.250Z', '2031-03-08T07:00:00+02:00'])(
    'may say when it was: %s',
    (at) => {
      expect(parseLogEntry({ log: 'salt', hole: 'left', at })?.known).toBe(true);
    },
  );
});

describe('an undo', () => {
  it('gives what it took out, and null where there is none of that id', () => {
    const book = bookOf([
      [0, salt('a', 500)],
      [1, { log: 'note', note: 'windy' }],
    ]);
    expect(write(book, 2, undo('b'))).toBeNull();
    expect(write(book, 2, undo('a'))).toMatchObject({ log: 'salt', g: 500 });
    expect(write(book, 2, undo('a'))).toBeNull();
    expect(book.kept).toHaveLength(1);
  });

  it('of an id that was given twice takes the last one', () => {
    const book = bookOf([
      [0, salt('a', 500)],
      [1, salt('a', 200)],
    ]);
    expect(write(book, 2, undo('a'))).toMatchObject({ g: 200 });
  });

  it('of a plan brings the one before it back', () => {
    const book = bookOf([
      [0, { log: 'plan', id: 'p1', topC: 1290 }],
      [1, { log: 'plan', id: 'p2', topC: 1250, who: 'Ada' }],
    ]);
    expect(planInBook(book)).toMatchObject({ topC: 1250 });
    expect(planInBook(book)).not.toHaveProperty('log');
    expect(planInBook(book)).not.toHaveProperty('who');
    write(book, 2, undo('p2'));
    expect(planInBook(book)).toMatchObject({ topC: 1290 });
    write(book, 3, undo('p1'));
    expect(planInBook(book)).toBeNull();
  });
});
