/** A board's own temperature that cannot be right. All figures are our own choice. */
import { expect, it } from 'vitest';
import { coldJunctionDoubt, newColdJunction, noteColdJunction } from '../../collector/core/cold-junction.ts';
import { MINUTE_MS, SECOND_MS, START_MS } from '../support/kiln.ts';

/** Values one each `everyS`; what is doubted after the last, and so many minutes later. */
function doubted(values: readonly number[], everyS = 10, laterMin = 0) {
  const cold = newColdJunction();
  let at = START_MS;
  for (const tempC of values) {
    at += everyS * SECOND_MS;
    noteColdJunction(cold, at, tempC);
  }
  return coldJunctionDoubt(cold, at + laterMin * MINUTE_MS);
}

const warmingBy = (perReadingC: number): number[] =>
  Array.from({ length: 60 }, (_, i) => 20 + perReadingC * i);

it.each<{
  what: string;
  values: number[];
  everyS?: number;
  laterMin?: number;
  doubt: 'range' | 'jump' | null;
}>([
  { what: 'nothing yet', values: [], doubt: null },
  { what: 'a mild night', values: [14, 14.1, 14, 13.9, 14], doubt: null },
  { what: 'a hard frost', values: [-29, -29.5, -30, -29], doubt: null },
  { what: 'a box in the heat of the kiln', values: [84, 84.5, 85, 84.9], doubt: null },
  { what: 'colder than any box', values: [-31, -31, -31], doubt: 'range' },
  { what: 'hotter than any box', values: [86, 90, 95], doubt: 'range' },
  { what: 'one wild reading', values: [20, 20, 120, 20, 20, 20], doubt: null },
  { what: 'two wild readings', values: [20, 120, 20, -60, 20, 20], doubt: null },
  { what: 'jumping about', values: [20, 35, 20, 5, 20, 40], doubt: 'jump' },
  { what: 'warming by 6 °C a minute', values: warmingBy(1), doubt: null },
  {
    what: 'warming by 12 °C a minute, in a board that works',
    values: warmingBy(2).slice(0, 20),
    doubt: 'jump',
  },
  {
    what: 'moved from a warm house into the cold, between two readings',
    values: [20, 2, 2, 2],
    everyS: 60,
    doubt: null,
  },
  { what: 'believed again 10 min after the last', values: [86, 90, 95], laterMin: 10, doubt: 'range' },
  { what: 'and then it is', values: [86, 90, 95], laterMin: 10.1, doubt: null },
])('$what: $doubt', ({ values, everyS, laterMin, doubt }) => {
  expect(doubted(values, everyS, laterMin)).toBe(doubt);
});

it('three wild readings, far from each other, are three wild readings', () => {
  const calm = Array.from({ length: 60 }, () => 20);
  expect(doubted([...calm, 120, ...calm, 120, ...calm, 120, 20])).toBeNull();
});
