import { describe, expect, it } from 'vitest';
import { addReading, type CurveStore, curveOf, newCurve, setPeriod } from '../../collector/server/curve.ts';
import { type Holes, holesOf, noteSeq } from '../../collector/server/holes.ts';

/** A store whose board reads every second; `seqs` in the order in which they came, `at` by seq. */
function storeOf(seqs: readonly number[], board = 'shed-1', store: CurveStore = newCurve()): CurveStore {
  const probe = board === 'shed-1' ? 'low' : 'high';
  setPeriod(store, probe, 1000);
  for (const seq of seqs)
    addReading(store, {
      at: seq * 1000,
      of: { board, boot: 'A', seq },
      kiln: { smoothC: seq, climbCPerH: 1, climbSdCPerH: 1 },
      probes: [{ probe, curveC: seq }],
    });
  return store;
}

/** The curve in words: a value a row, `|` where it is broken. */
function drawn(store: CurveStore, column: 'kiln' | 'low' | 'high', width = 100_000): string {
  const curve = curveOf(store, { width });
  const cells = column === 'kiln' ? curve.kiln : curve.probes.find(({ probe }) => probe === column)?.tempC;
  const words = (cells ?? []).map((cell) => (cell === null ? '|' : String(cell)));
  return words.filter((word, i) => word !== '|' || words[i - 1] !== '|').join(' ');
}

const span = (from: number, to: number) => Array.from({ length: to - from + 1 }, (_, n) => from + n);

describe('a reading that is gone for good', () => {
  it('is a gap in the line, though it is one alone', () => {
    const store = storeOf([...span(0, 3), ...span(5, 8)]);
    expect(drawn(store, 'low')).toBe('0 1 2 3 | 5 6 7 8');
    expect(drawn(store, 'kiln')).toBe('0 1 2 3 | 5 6 7 8');
  });

  it('is a gap on a small screen as well', () => {
    const store = storeOf([...span(0, 499), ...span(501, 999)]);
    const low = curveOf(store, { width: 100 }).probes[0]?.tempC ?? [];
    const broken = low.indexOf(null);
    expect(broken).toBeGreaterThan(40);
    expect(low.filter((cell) => cell === null)).toHaveLength(1);
  });

  it('is none once it has come late, in whatever order', () => {
    expect(drawn(storeOf([0, 1, 2, 6, 7, 4, 3, 5]), 'low')).toBe('0 1 2 3 4 5 6 7');
    expect(drawn(storeOf([0, 1, 2, 6, 7, 4, 3]), 'low')).toBe('0 1 2 3 4 | 6 7');
  });

  it("of one board breaks its own line; the kiln's goes on while another board speaks", () => {
    const store = storeOf(span(0, 9), 'shed-2', storeOf([...span(0, 3), ...span(6, 9)]));
    expect(drawn(store, 'low')).toBe('0 1 2 3 | 6 7 8 9');
    for (const column of ['high', 'kiln'] as const) expect(drawn(store, column)).not.toContain('|');
  });
});

describe('the holes of a board', () => {
  const note = (holes: Holes, boot: string, seqs: readonly number[], from = 0) => {
    for (const [n, seq] of seqs.entries()) noteSeq(holes, { board: 'b', boot, seq }, from + n);
  };

  it('are counted over the roll-over of its seqs', () => {
    const holes: Holes = new Map();
    note(holes, 'A', [2 ** 32 - 2, 2 ** 32 - 1, 0, 2]);
    expect(holesOf(holes, 'b')).toEqual([{ fromAt: 2, toAt: 3 }]);
  });

  it('of a boot that is over stay, and a new boot counts anew', () => {
    const holes: Holes = new Map();
    note(holes, 'A', [0, 1, 5]);
    note(holes, 'B', [0, 1, 2], 100);
    expect(holesOf(holes, 'b')).toEqual([{ fromAt: 1, toAt: 2 }]);
    expect(holesOf(holes, null)).toEqual(holesOf(holes, 'b'));
  });
});
