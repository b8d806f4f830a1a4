/** What is ahead, in words: the opening of the kiln, the firing cone; and a cone that was seen. */
import { describe, expect, it } from 'vitest';
import { coneWords } from '../../dashboard/cone-words.ts';
import { inAbout, unbrickWords } from '../../dashboard/how-it-goes.ts';

const HOUR = 3_600_000;
/** A Friday, 9 in the evening. */
const NOW = Date.UTC(2031, 2, 14, 21);
const AT_THE_KILN = { locale: 'en-US', timeZone: 'UTC' };

const plain = (words: string) => words.replaceAll('\u00a0', ' ');
const ahead = (low: number, mid: number, high: number | null) => ({
  lowMs: low * HOUR,
  midMs: mid * HOUR,
  highMs: high === null ? null : high * HOUR,
});

describe('when the kiln may be unbricked', () => {
  it.each([
    [ahead(27, 31.2, 36), 'May be unbricked in about 31 hours, Sun 4:00 am (27 to 36 hours).'],
    [ahead(2.2, 2.6, 3.1), 'May be unbricked in about 2½ hours, 11:36 pm (2 to 3 hours).'],
    // An interval a day wide has no time of day.
    [ahead(54, 105, 202), 'May be unbricked in about 4 days (2 to 8 days).'],
  ])('%o: %s', (of, words) => {
    expect(plain(unbrickWords(of, NOW, AT_THE_KILN))).toBe(words);
  });
});

describe('something that is ahead', () => {
  it.each([
    [ahead(1.2, 2, 4.1), 'in about 2 hours (1 to 4 hours)'],
    [ahead(0.3, 0.6, null), 'in about 35 minutes'],
    [ahead(7, 10, null), 'in over 7 hours'],
  ])('%o is %s', (of, words) => {
    expect(plain(inAbout(of))).toBe(words);
  });
});

describe("a probe's cone", () => {
  it.each([
    ['8.4', null, 'cone 8.4'],
    ['8.4', 0.42, 'cone 8.4, +0.4 by the cone seen'],
    ['05.7', -0.31, 'cone 05.7, −0.3 by the cone seen'],
    ['05.7', 0.04, 'cone 05.7'],
    [null, 0.4, ''],
  ])('%s with a shift of %s: %s', (cone, coneShift, words) => {
    expect(plain(coneWords({ cone, coneShift }))).toBe(words);
  });
});
