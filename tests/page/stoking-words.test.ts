/** The next stoke and the wood, as the page says them. */
import { describe, expect, it } from 'vitest';
import type { Entry, Stoking } from '../../dashboard/firing.ts';
import { firingAt } from '../../dashboard/replay.ts';
import { nextStokeHole, stokingFacts } from '../../dashboard/stoking-words.ts';
import { recordAt } from './story.ts';

const NOW = Date.UTC(2031, 2, 8, 5);
const MINUTE = 60_000;
const HOUR = 60 * MINUTE;

const told = (part: Partial<Stoking>): Stoking => ({
  type: 'stoking',
  n: 1,
  at: NOW,
  next: null,
  gain: null,
  fuel: null,
  ...part,
});

const inWords = (part: Partial<Stoking>, unit: 'F' | 'C' = 'F', now = NOW): string[] =>
  stokingFacts(told(part), now, unit).map(({ name, words, more }) =>
    `${name}: ${words}${more === null ? '' : ` (${more})`}`.replaceAll('\u00a0', ' '),
  );

const due = (low: number, mid: number, high: number, hole: 'left' | 'right' | null = null) => ({
  dueInMs: { low: low * MINUTE, mid: mid * MINUTE, high: high * MINUTE },
  peaked: false,
  hole,
});

describe('the hole that is next', () => {
  const stoke = (at: number): Entry => ({
    entry: 1,
    id: 's',
    at,
    madeAt: at,
    who: '',
    where: '',
    log: 'stoke',
    json: { hole: 'right' },
    undone: false,
    pending: true,
  });
  it.each([
    { next: due(1, 3, 8, 'left'), log: [], stale: false, hole: 'left' },
    { next: due(1, 3, 8, 'left'), log: [stoke(NOW - MINUTE)], stale: false, hole: 'left' },
    // What was logged since then is not known to what was told.
    { next: due(1, 3, 8, 'left'), log: [stoke(NOW + 1)], stale: false, hole: null },
    { next: due(1, 3, 8, 'left'), log: [], stale: true, hole: null },
    { next: due(1, 3, 8), log: [], stale: false, hole: null },
    { next: null, log: [], stale: false, hole: null },
  ])('$hole', ({ next, log, stale, hole }) => {
    const firing = { ...firingAt(recordAt(9), NOW), stoking: told({ next }) };
    expect(nextStokeHole({ firing, log, fresh: { ageMs: 0, stale, quietForMs: null } })).toBe(hole);
  });
});

describe('the next stoke', () => {
  it.each([
    { next: due(1, 3, 8), now: NOW, says: ['Next stoke: in about 3 minutes (up to 10 minutes)'] },
    {
      next: due(5, 8, 12, 'right'),
      now: NOW,
      says: ['Next stoke: in about 8 minutes (5 to 10 minutes, right hole)'],
    },
    { next: due(1, 3, 5), now: NOW + 2.5 * MINUTE, says: ['Next stoke: any moment'] },
    {
      next: { ...due(0, 0, 0, 'left'), peaked: true },
      now: NOW,
      says: ['Next stoke: now: the last has given its heat (left hole)'],
    },
    { next: null, now: NOW, says: [] },
  ])('$says', ({ next, now, says }) => {
    expect(inWords({ next }, 'F', now)).toEqual(says);
  });
});

describe('what a stoke brings', () => {
  const gain = { perStokeC: 6, leftC: 7, rightC: 5, trend: 'same', moreBringsLess: false } as const;
  it.each([
    { what: gain, unit: 'F', says: 'A stoke brings: +11 °F (left +13 °F, right +9 °F)' },
    { what: { ...gain, rightC: null }, unit: 'C', says: 'A stoke brings: +6 °C' },
    { what: { ...gain, trend: 'less' }, unit: 'C', says: 'A stoke brings: +6 °C (less than before)' },
    {
      what: { ...gain, perStokeC: -2, moreBringsLess: true },
      unit: 'C',
      says: 'A stoke brings: −2 °C (more wood brings less: it may be choking)',
    },
  ] as const)('$says', ({ what, unit, says }) => {
    expect(inWords({ gain: what }, unit)).toEqual([says]);
  });
});

describe('the wood', () => {
  const fuel = {
    stokes: 60,
    seenOnly: false,
    spread: false,
    inKg: 1200,
    kgPerFaceCord: 600,
    heatMJ: 18_600,
    leftKg: 900,
    kgPerH: 180,
    climbCPerFaceCord: 200,
    conesPerFaceCord: 4,
    lastsMs: 5 * HOUR,
    toEndMs: 4 * HOUR,
  };
  it.each([
    {
      what: 'in, left, and whether it lasts',
      fuel,
      unit: 'C',
      says: [
        'Wood: 2.0 face cords in, 1.5 left (1200 kg, 18.6 GJ)',
        'The stack: lasts about 5 hours (the firing needs about 4 hours more)',
      ],
    },
    {
      what: 'in pounds and million Btu',
      fuel: { ...fuel, leftKg: null, lastsMs: null },
      unit: 'F',
      says: ['Wood: 2.0 face cords in (2650 lb, 17.6 million Btu)'],
    },
    {
      what: 'roughly, where nobody logs',
      fuel: { ...fuel, seenOnly: true, leftKg: null, lastsMs: null },
      unit: 'C',
      says: ['Wood: 2.0 face cords in (1200 kg, 18.6 GJ, roughly)'],
    },
    {
      what: 'only counted',
      fuel: { ...fuel, inKg: null, heatMJ: null, leftKg: null, lastsMs: null },
      unit: 'C',
      says: ['Wood: 60 stokes (not weighed)'],
    },
  ] as const)('$what', ({ fuel: known, unit, says }) => {
    expect(inWords({ fuel: { ...known } }, unit)).toEqual(says);
  });
});

it('nothing is said before anything was told', () => {
  expect(stokingFacts(null, NOW, 'F')).toEqual([]);
});
