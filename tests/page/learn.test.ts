/** The table of past firings, sorted and sifted, and two firings beside each other in words. */
import { describe, expect, it } from 'vitest';
import { namesApart, readAt } from '../../dashboard/learn/beside.ts';
import { apartWords, heatWords, hourWords } from '../../dashboard/learn/say-apart.ts';
import { ALL, NEWEST_FIRST, type PastRow, sifted, sorted, sortedAgain } from '../../dashboard/learn/table.ts';
import type { FiringFactsAnswer } from '../../protocol/firing-facts.ts';
import { answerOf, HOUR, MINUTE } from './learn-story.ts';

const plain = (words: string) => words.replaceAll('\u00a0', ' ');
const row = (name: string, startedAt: number | null, answer: FiringFactsAnswer | null): PastRow => ({
  firing: { id: `id ${name}`, name, startedAt, endedAt: null, topC: 1200, running: false },
  answer,
});
const at = (year: number) => new Date(year, 5, 1).getTime();
const share = (good: number) => ({ good, seconds: 0, lost: 100 - good, share: good / 100, places: [] });
const ROWS = [
  row('Spring', at(2031), answerOf({ toSaltingH: 21, woodKg: 1900, weather: ['Dry'], yield: share(80) })),
  row('autumn', at(2030), answerOf({ toSaltingH: 25, woodKg: null, weather: ['Rain'], yield: null })),
  row('Winter', null, null),
];
const names = (rows: readonly PastRow[]) => rows.map(({ firing }) => firing.name).join(' ');

describe('the table', () => {
  it.each([
    [NEWEST_FIRST, 'Spring autumn Winter'],
    [{ by: 'firing', up: true }, 'autumn Spring Winter'],
    [{ by: 'toSaltingMs', up: true }, 'Spring autumn Winter'],
    [{ by: 'toSaltingMs', up: false }, 'autumn Spring Winter'],
    // What is not known stands last, whichever way.
    [{ by: 'woodKg', up: true }, 'Spring autumn Winter'],
    [{ by: 'woodKg', up: false }, 'Spring autumn Winter'],
    [{ by: 'share', up: true }, 'Spring autumn Winter'],
  ] as const)('sorted by %j is %s', (sorting, order) => {
    expect(names(sorted(ROWS, sorting))).toBe(order);
  });

  it('is sorted anew by a press, and turned round by a second one', () => {
    expect(sortedAgain(NEWEST_FIRST, 'woodKg')).toEqual({ by: 'woodKg', up: false });
    expect(sortedAgain({ by: 'woodKg', up: false }, 'woodKg')).toEqual({ by: 'woodKg', up: true });
    expect(sortedAgain(NEWEST_FIRST, 'firing')).toEqual({ by: 'firing', up: true });
  });

  it.each([
    [{ ...ALL, year: 2030 }, 'autumn'],
    [{ ...ALL, text: 'RAIN' }, 'autumn'],
    [{ ...ALL, text: 'spr dry' }, 'Spring'],
    [{ ...ALL, text: 'spr rain' }, ''],
    [{ ...ALL, results: 'counted' }, 'Spring'],
    [{ ...ALL, results: 'not-counted' }, 'autumn Winter'],
  ] as const)('sifted by %j is %s', (sieve, left) => {
    expect(names(sifted(ROWS, sieve))).toBe(left);
  });
});

describe('two firings in words', () => {
  const spring = answerOf({ toSaltingH: 20, woodKg: 1900, stalls: 0, yield: share(84) });
  const now = answerOf({
    toSaltingH: 20 + 38 / 60,
    woodKg: 1900 - 290,
    stalls: 2,
    saltedMin: 74,
    yield: share(71),
  });

  it('says how far behind, at a heat and at an hour', () => {
    // Straight up to 1204 °C, the second one 38 min later.
    expect(heatWords(now.facts, spring.facts, 'Spring', 1204.4, 'F')[0]).toBe(
      '38 min behind Spring at this heat.',
    );
    expect(heatWords(spring.facts, now.facts, 'Now', 1204.4, 'F')[0]).toBe(
      '38 min ahead of Now at this heat.',
    );
    expect(heatWords(spring.facts, spring.facts, 'itself', 600, 'F')).toEqual([
      'As far on as itself at this heat.',
    ]);
  });

  it('says at an hour what the two figures beside it say', () => {
    const read = (kilnC: number) => ({ kilnC, climbCPerH: null });
    // 1199 and 1210 °C are shown: 11 between them, though 11.8 lie there.
    expect(plain(hourWords(read(1198.6), read(1210.4), 'Spring', 'C'))).toBe(
      '11 °C colder than Spring at this hour.',
    );
    expect(hourWords(read(1200), read(1202), 'Spring', 'C')).toBe('As hot as Spring at this hour.');
    expect(hourWords(read(1200), null, 'Spring', 'C')).toBe('Not both of them have been there.');
  });

  it('says no other difference than the table beside it', () => {
    const figures = (toSaltingH: number, woodKg: number, topC: number, burntH: number) => {
      const of = answerOf({ toSaltingH, woodKg });
      const { litAt } = of.facts;
      return { ...of, facts: { ...of.facts, topC, closedAt: (litAt ?? 0) + burntH * HOUR } };
    };
    // 22 h 51 and 22 h 28; 24 h 53 and 24 h 27; 2175 and 2114 kg; 1248 and 1252 °C.
    const one = figures(22 + 51.1 / 60, 2175.4, 1247.6, 24 + 53.0 / 60);
    const other = figures(22 + 28.8 / 60, 2113.6, 1252.4, 24 + 27.9 / 60);
    const { differs } = apartWords(one, other, 'C');
    expect(differs.map(plain)).toEqual(
      expect.arrayContaining([
        'At salting heat 23 min later.',
        'Closed 26 min later after lighting.',
        'Used 61 kg of wood more.',
        '4 °C colder at its hottest.',
      ]),
    );
  });

  it('reads the moment itself off the readings, however far apart the rows around it lie', () => {
    const curve = {
      at: [0, 5000, 10_000],
      kiln: [1200, 1201.5, 1203],
      kilnClimbCPerH: [30, 31, 32],
      kilnClimbSdCPerH: [2, 2, 2],
      probes: [],
    };
    expect(readAt(curve, 9999)).toEqual({ kilnC: 1201.5, climbCPerH: 31 });
    expect(readAt(curve, 16 * MINUTE)).toBeNull();
    expect(readAt({ ...curve, kiln: [1200, null, 1203] }, 6000)).toBeNull();
  });

  it('tells firings of one name apart by their day, and by the hour where that does not do', () => {
    const one = (id: string, name: string, startedAt: number | null) => ({ id, name, startedAt });
    const day = Date.UTC(2031, 2, 14, 21);
    const name = namesApart(
      [
        one('a', 'demo', day),
        one('b', 'demo', day + HOUR),
        one('c', 'demo', day + 48 * HOUR),
        one('d', 'Spring', day),
      ],
      { locale: 'en-GB', timeZone: 'UTC' },
    );
    expect(['a', 'b', 'c', 'd'].map(name)).toEqual([
      'demo (14 March 2031, 21:00)',
      'demo (14 March 2031, 22:00)',
      'demo (16 March 2031)',
      'Spring',
    ]);
    expect(namesApart([one('a', 'demo', null), one('b', 'demo', null)])('b')).toBe('demo (b)');
  });

  it('says what differs as at the fire, and what is much the same', () => {
    const { differs, same } = apartWords(now, spring, 'F');
    expect(differs).toContain('71 % came out good, against 84 %.');
    expect(differs).toContain('At salting heat 38 min later.');
    expect(differs).toContain('Used half a face cord of wood less.');
    expect(differs).toContain('Salted 12 min longer.');
    expect(differs).toContain('Two stalls more.');
    expect(same).toContain('salt');
    expect(apartWords(spring, now, 'C').differs).toContain('Two stalls fewer.');
  });

  it('does not hold what goes on growing against a firing that is over', () => {
    const { differs, same } = apartWords(now, spring, 'F', true);
    expect(differs).toContain('At salting heat 38 min later.');
    // By salting heat all that wood was in.
    expect(differs).toContain('Used half a face cord of wood less by salting heat.');
    expect([...differs, ...same].join(' ')).not.toMatch(/stall|stoke|salted|hottest|wood less[.]/i);
  });
});
