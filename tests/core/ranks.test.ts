/** Rank correlation against published critical values, a reference library, and orders counted by hand. */
import fc from 'fast-check';
import { sampleCorrelation, sampleRankCorrelation } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import {
  averageRanks,
  holm,
  leastBeyondChance,
  rankCorrelation,
} from '../../collector/core/firing-facts/ranks.ts';

describe('ranks', () => {
  it.each([
    [
      [30, 10, 20],
      [3, 1, 2],
    ],
    [
      [5, 5, 1],
      [2.5, 2.5, 1],
    ],
    [
      [2, 2, 2],
      [2, 2, 2],
    ],
    [[], []],
  ])('of %j are %j: those that are equal share their places', (values, ranks) => {
    expect(averageRanks(values)).toEqual(ranks);
  });
});

const columns = fc
  .integer({ min: 3, max: 40 })
  .chain((n) =>
    fc.tuple(
      fc.uniqueArray(fc.integer({ min: -1e6, max: 1e6 }), { minLength: n, maxLength: n }),
      fc.uniqueArray(fc.integer({ min: -1e6, max: 1e6 }), { minLength: n, maxLength: n }),
    ),
  );
const tiedColumns = fc
  .integer({ min: 3, max: 30 })
  .chain((n) =>
    fc.tuple(
      fc.array(fc.integer({ min: 0, max: 5 }), { minLength: n, maxLength: n }),
      fc.array(fc.integer({ min: 0, max: 5 }), { minLength: n, maxLength: n }),
    ),
  );

describe('rank correlation', () => {
  it('without ties is what simple-statistics makes of it', () => {
    fc.assert(
      fc.property(columns, ([one, other]) => {
        expect(rankCorrelation(one, other)?.rho).toBeCloseTo(sampleRankCorrelation(one, other), 9);
      }),
      { numRuns: 60 },
    );
  });

  it('with ties is the plain correlation of their shared ranks (simple-statistics)', () => {
    fc.assert(
      fc.property(tiedColumns, ([one, other]) => {
        const ranked = rankCorrelation(one, other);
        const flat = new Set(one).size === 1 || new Set(other).size === 1;
        if (flat) expect(ranked).toBeNull();
        else expect(ranked?.rho).toBeCloseTo(sampleCorrelation(averageRanks(one), averageRanks(other)), 9);
      }),
      { numRuns: 60 },
    );
  });

  it('is not changed by the order of the rows or by a rising scale, and turned by a falling one', () => {
    fc.assert(
      fc.property(tiedColumns, ([one, other]) => {
        const plain = rankCorrelation(one, other);
        const backward = rankCorrelation([...one].reverse(), [...other].reverse());
        expect(backward?.rho).toEqual(plain === null ? undefined : expect.closeTo(plain.rho, 9));
        expect(
          rankCorrelation(
            one.map((x) => x ** 3),
            other,
          ),
        ).toEqual(plain);
        if (plain)
          expect(
            rankCorrelation(
              one.map((x) => -x),
              other,
            )?.rho,
          ).toBeCloseTo(-plain.rho, 9);
      }),
      { numRuns: 40 },
    );
  });

  // Counted by hand: of the 24 orders of four, 1 agrees in full and 1 the other way; with the two least
  // equal, 2 agree in full (4.5), and the other way comes to −4 only.
  it.each([
    [[1, 2, 3, 4], [1, 2, 3, 4], 2 / 24],
    [[1, 1, 2, 3], [1, 1, 2, 3], 2 / 24],
    [[1, 2, 3], [1, 2, 3], 2 / 6],
    [[1, 2], [1, 2], 1],
  ])('of %j and %j has the chance that counting all orders gives', (one, other, p) => {
    expect(rankCorrelation(one, other)?.p).toBeCloseTo(p, 12);
  });

  it('has nothing to say of one row', () => {
    expect(rankCorrelation([1], [2])).toBeNull();
  });
});

/** J. H. Zar, Biostatistical Analysis, critical values of Spearman's rank correlation, two-tailed (from memory). */
const ZAR: [n: number, at05: number | null, at01: number | null][] = [
  [4, null, null],
  [5, 1, null],
  [6, 0.886, 1],
  [7, 0.786, 0.929],
  [8, 0.738, 0.881],
  [9, 0.7, 0.833],
  [10, 0.648, 0.794],
  [11, 0.618, 0.755],
  [12, 0.587, 0.727],
  [15, 0.521, 0.654],
  [20, 0.447, 0.57],
  [25, 0.398, 0.511],
  [30, 0.362, 0.467],
];

describe('what is beyond chance', () => {
  it.each(ZAR)('with %i rows is as Zar prints it: %f at 0.05, %f at 0.01', (n, at05, at01) => {
    for (const [alpha, printed] of [
      [0.05, at05],
      [0.01, at01],
    ] as const) {
      const least = leastBeyondChance(n, alpha);
      if (printed === null) expect(least).toBeNull();
      // Up to ten rows to the last printed figure; above, the series may be one step of the sum of squares on the safe side.
      else expect(Math.abs((least ?? 0) - printed)).toBeLessThan(0.0006 + (n > 10 ? 12 / (n ** 3 - n) : 0));
    }
  });

  it.each([10, 11])('with %i rows, where all orders are not looked at any more, is what they give', (n) => {
    const squares = sumsOfSquares(n);
    const all = squares.reduce((sum, count) => sum + count, 0);
    let below = 0;
    let checked = 0;
    for (let sum = 0; sum < squares.length; sum += 2) {
      below += squares[sum] ?? 0;
      const exact = (2 * below) / all;
      if (exact > 0.3) break;
      const p = rankCorrelation(...columnsApart(n, sum))?.p ?? 0;
      expect(Math.abs(p - exact)).toBeLessThan(0.002);
      checked += 1;
    }
    expect(checked).toBeGreaterThan(40);
  });
});

/** How many orders of n come to each sum of squared differences: all of them, row by row over the sets that are taken. */
function sumsOfSquares(n: number): number[] {
  const most = (n ** 3 - n) / 3;
  const counts = Array.from({ length: 1 << n }, () => [] as number[]);
  counts[0] = [1];
  for (let taken = 0; taken < counts.length; taken += 1) {
    const here = counts[taken] ?? [];
    const row = [...taken.toString(2)].filter((bit) => bit === '1').length;
    for (let rank = 0; rank < n; rank += 1) {
      if ((taken >> rank) & 1) continue;
      const next = counts[taken | (1 << rank)] ?? [];
      here.forEach((count, sum) => {
        const at = sum + (row - rank) ** 2;
        if (at <= most) next[at] = (next[at] ?? 0) + count;
      });
    }
  }
  return Array.from({ length: most + 1 }, (_, sum) => counts.at(-1)?.[sum] ?? 0);
}

/** Two columns whose ranks come to this sum of squared differences: neighbours are swapped until they do. */
function columnsApart(n: number, wanted: number): [number[], number[]] {
  const one = Array.from({ length: n }, (_, i) => i);
  const other = [...one];
  const sum = () => other.reduce((all, rank, row) => all + (rank - row) ** 2, 0);
  while (sum() < wanted) {
    // The swap of neighbours that adds the most without going too far; each adds an even number, and one adds 2.
    const grows = one.slice(1).map((row) => {
      const [a = 0, b = 0] = [other[row - 1], other[row]];
      return { row, by: 2 * (b - a) };
    });
    const fit = grows.filter(({ by }) => by > 0 && by <= wanted - sum()).sort((a, b) => b.by - a.by)[0];
    if (!fit) throw new Error(`no order comes to ${wanted}`);
    const [a = 0, b = 0] = [other[fit.row - 1], other[fit.row]];
    other[fit.row - 1] = b;
    other[fit.row] = a;
  }
  return [one, other];
}

describe("Holm's step-down", () => {
  // S. Holm, Scandinavian Journal of Statistics 6 (1979): 0.01 ≤ 0.05/4, 0.013 ≤ 0.05/3, 0.03 > 0.05/2, and no further.
  it('keeps those that stand in their turn, and stops at the first that does not', () => {
    expect(holm([0.03, 0.01, 0.04, 0.013], 0.05)).toEqual([false, true, false, true]);
    expect(holm([0.05], 0.05)).toEqual([true]);
    expect(holm([], 0.05)).toEqual([]);
  });
});
