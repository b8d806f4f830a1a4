import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { asCounter, carryOn } from '../../collector/lines/counter32.ts';
import {
  hadUptime,
  isBetweenNeighbours,
  isSeen,
  isWherePredicted,
  newLedger,
  noteSeen,
} from '../../collector/lines/ledger.ts';
import { cutOut, joined, type Range } from '../../collector/lines/ranges.ts';
import { countOf } from './desk-script.ts';

describe('counters of 32 bits', () => {
  test('are carried on past their roll-over, forward and back', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: -(2 ** 40), max: 2 ** 40 }),
        fc.integer({ min: -(2 ** 31), max: 2 ** 31 - 1 }),
        (near, by) => {
          expect(carryOn(asCounter(near + by), near)).toBe(near + by);
        },
      ),
    );
  });
});

/** Ranges of small numbers, in order and apart. */
const ranges = fc.uniqueArray(fc.nat({ max: 60 })).map((numbers) => asRanges(new Set(numbers)));
const asSet = (list: readonly Range[]) =>
  new Set(list.flatMap(({ from, to }) => Array.from({ length: to - from + 1 }, (_, i) => from + i)));
function asRanges(numbers: Set<number>): Range[] {
  const list: Range[] = [];
  for (const number of [...numbers].sort((a, b) => a - b)) {
    const last = list.at(-1);
    if (last?.to === number - 1) last.to = number;
    else list.push({ from: number, to: number });
  }
  return list;
}

describe('ranges', () => {
  test('a piece is cut out as it is out of a set', () => {
    fc.assert(
      fc.property(ranges, fc.nat({ max: 60 }), fc.nat({ max: 20 }), (list, from, more) => {
        const { left, cut } = cutOut(list, from, from + more);
        const inside = (n: number) => n >= from && n <= from + more;
        expect(asSet(left)).toEqual(new Set([...asSet(list)].filter((n) => !inside(n))));
        expect(asSet(cut)).toEqual(new Set([...asSet(list)].filter(inside)));
        expect(countOf(left) + countOf(cut)).toBe(countOf(list));
        expect(new Set(asSet(joined(left, cut)))).toEqual(asSet(list));
      }),
    );
  });
});

describe('the ledger', () => {
  test('knows what it has seen, whatever the order', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: -50, max: 50 })), (seqs) => {
        const ledger = newLedger();
        for (const seq of seqs) noteSeen(ledger, seq, seq * 1000);
        for (let seq = -52; seq <= 52; seq += 1) {
          expect(isSeen(ledger, seq)).toBe(seqs.includes(seq));
          if (seqs.length === 0) continue;
          expect(isWherePredicted(ledger, seq, seq * 1000 + 1500, 1000)).toBe(true);
          expect(isWherePredicted(ledger, seq, seq * 1000 - 1501, 1000)).toBe(false);
          if (seqs.includes(seq)) expect(hadUptime(ledger, seq, seq * 1000 + 1, 1000)).toBe(false);
          else expect(isBetweenNeighbours(ledger, seq, seq * 1000)).toBe(true);
        }
        const apart = ledger.seen.every(
          ({ from }, i) => i === 0 || from > (ledger.seen[i - 1]?.to ?? from) + 1,
        );
        expect(apart).toBe(true);
      }),
    );
  });

  test('goes by the board, not by its word: a board that is slower than it says is predicted where it is', () => {
    const ledger = newLedger();
    for (let seq = 0; seq < 20; seq += 1) noteSeen(ledger, seq, seq * 1300);
    for (let seq = 120; seq < 140; seq += 1) noteSeen(ledger, seq, seq * 1300);
    expect(isWherePredicted(ledger, 70, 70 * 1300, 1000)).toBe(true);
    expect(isWherePredicted(ledger, 70, 70 * 1000, 1000)).toBe(false);
    expect(isWherePredicted(ledger, -30, -30 * 1300, 1000)).toBe(true);
  });

  test('an old reading is known by about its uptime, a new one by the millisecond', () => {
    const ledger = newLedger();
    for (let seq = 0; seq < 5000; seq += 1) noteSeen(ledger, seq, seq * 1000);
    expect(hadUptime(ledger, 4500, 4_500_000, 1000)).toBe(true);
    expect(hadUptime(ledger, 4500, 4_500_001, 1000)).toBe(false);
    expect(hadUptime(ledger, 100, 100_001, 1000)).toBe(true);
    expect(hadUptime(ledger, 100, 102_000, 1000)).toBe(false);
  });

  test('does not grow with what is lost', () => {
    const ledger = newLedger();
    for (let seq = 0; seq < 100_000; seq += 2) noteSeen(ledger, seq, seq * 1000);
    expect(ledger.seen.length).toBeLessThanOrEqual(512);
    expect(isSeen(ledger, 99_997)).toBe(false);
    expect(isSeen(ledger, 99_998)).toBe(true);
  });
});
