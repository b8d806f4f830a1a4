import { describe, expect, it } from 'vitest';
import {
  inOneUnit,
  sayAbout,
  sayCharge,
  sayClimb,
  sayClock,
  sayDifference,
  sayGain,
  sayIn,
  sayRange,
  sayShort,
  saySpan,
  sayTemp,
  sayWeight,
  sayWhen,
  wayOf,
} from '../../dashboard/say.ts';

const MINUTE = 60_000;
const HOUR = 60 * MINUTE;
const plain = (text: string) => text.replaceAll('\u00a0', ' ');

describe('temperatures', () => {
  it.each([
    // Fixed points: water freezes at 0 °C = 32 °F and boils at 100 °C = 212 °F; quartz inverts at 573 °C (handbook).
    [0, 'F', '32 °F'],
    [100, 'F', '212 °F'],
    [573, 'F', '1063 °F'],
    [-40, 'F', '−40 °F'],
    // Common practice, no source: salting starts at about 2200 °F.
    [1204.4, 'F', '2200 °F'],
    [1204.4, 'C', '1204 °C'],
    [-0.3, 'C', '0 °C'],
  ] as const)('%f °C in %s is %s', (tempC, unit, words) => {
    expect(plain(sayTemp(tempC, unit))).toBe(words);
  });

  it.each([
    [34.4, 'F', '+62 °F an hour'],
    [-11, 'F', '−20 °F an hour'],
    [-11, 'C', '−11 °C an hour'],
    [0.1, 'C', '0 °C an hour'],
  ] as const)('a climb of %f °C an hour in %s is %s', (climb, unit, words) => {
    expect(plain(sayClimb(climb, unit))).toBe(words);
  });

  it('says words that hold both units in the one that the reader has chosen', () => {
    const said =
      'Draw ring 1 is due: 12.9 of 50 lb (5.8 of 22.7 kg) is in. Up 62 °F (34 °C) an hour, at -4 °F (-20 °C).';
    expect(plain(inOneUnit(said, 'F'))).toBe(
      'Draw ring 1 is due: 12.9 of 50 lb is in. Up 62 °F an hour, at −4 °F.',
    );
    expect(plain(inOneUnit(said, 'C'))).toBe(
      'Draw ring 1 is due: 5.8 of 22.7 kg is in. Up 34 °C an hour, at −20 °C.',
    );
    expect(inOneUnit('Look at the wires (both).', 'F')).toBe('Look at the wires (both).');
  });

  it('says a difference without the 32 degrees that a temperature has', () => {
    expect(plain(sayDifference(5, 'F'))).toBe('9 °F');
    expect(plain(sayDifference(-5, 'C'))).toBe('5 °C');
    expect([5, -5, 0.1, -0.1].map((gainC) => plain(sayGain(gainC, 'C')))).toEqual([
      '+5 °C',
      '\u22125 °C',
      '0 °C',
      '0 °C',
    ]);
  });

  it.each([
    [3, 'up'],
    [2.9, 'still'],
    [-2.9, 'still'],
    [-3, 'down'],
  ] as const)('%f °C an hour goes %s', (climb, way) => {
    expect(wayOf(climb)).toBe(way);
  });

  it('a closed kiln that cools by 4 °F an hour does not stand still', () => {
    expect(wayOf(-2.2, 'climbing')).toBe('still');
    expect(wayOf(-2.2, 'cooling')).toBe('down');
  });
});

describe('spans', () => {
  it.each([
    [40_999, '40 seconds'],
    [1_000, '1 second'],
    [-5, '0 seconds'],
    [12 * MINUTE, '12 minutes'],
    [65 * MINUTE, '1 hour 5 minutes'],
    [2 * HOUR, '2 hours'],
    [76 * HOUR, '3 days 4 hours'],
  ])('%i ms is %s', (ms, words) => {
    expect(plain(saySpan(ms))).toBe(words);
  });

  it.each([
    [30_000, 'about a minute'],
    [7 * MINUTE, 'about 7 minutes'],
    [42 * MINUTE, 'about 40 minutes'],
    [61 * MINUTE, 'about an hour'],
    [88 * MINUTE, 'about 1½ hours'],
    [104 * MINUTE, 'about 1¾ hours'],
    [121 * MINUTE, 'about 2 hours'],
    [150 * MINUTE, 'about 2½ hours'],
    [6.2 * HOUR, 'about 6 hours'],
    [72 * HOUR, 'about 3 days'],
  ])('%i ms is said %s', (ms, words) => {
    expect(sayAbout(ms)).toBe(words);
  });

  it('rises: a longer time is never said as a shorter one, to five minutes', () => {
    const heard = new Set<string>();
    let last = '';
    for (let minutes = 1; minutes < 3 * 24 * 60; minutes += 1) {
      const words = sayAbout(minutes * MINUTE);
      if (words !== last) expect(heard.has(words), `${words} comes back`).toBe(false);
      heard.add(words);
      last = words;
    }
  });

  it.each([
    [160 * MINUTE, '2:40 in'],
    [5 * MINUTE, '0:05 in'],
    [76 * HOUR, '3 days 4 h in'],
  ])('%i ms since light-up is %s', (ms, words) => {
    expect(plain(sayIn(ms))).toBe(words);
  });

  it('says short spans in few letters', () => {
    expect(plain(sayShort(90 * MINUTE))).toBe('1 h 30');
    expect(plain(sayShort(59_000))).toBe('59 s');
  });
});

describe('stretches', () => {
  it.each([
    [8 * MINUTE, 41 * MINUTE, '10 to 40 minutes'],
    [0, 41 * MINUTE, 'up to 40 minutes'],
    [20 * MINUTE, 21 * MINUTE, 'about 20 minutes'],
    [7.3 * HOUR, 23.2 * HOUR, '7 to 23 hours'],
    [30 * HOUR, 80 * HOUR, '1 to 3 days'],
  ])('from %i to %i ms is said %s', (low, high, words) => {
    expect(sayRange(low, high)).toBe(words);
  });
});

describe('the clock', () => {
  const at = Date.UTC(2031, 2, 9, 9, 15);
  it('is said as people say it', () => {
    expect(plain(sayClock(at, { locale: 'en-US', timeZone: 'America/New_York' }))).toBe('5:15 am');
    expect(plain(sayClock(at, { locale: 'de-DE', timeZone: 'Europe/Berlin' }))).toBe('10:15');
  });
  it('names the weekday of another day', () => {
    const place = { locale: 'en-US', timeZone: 'UTC' };
    expect(plain(sayWhen(at, at + HOUR, place))).toBe('9:15 am');
    expect(plain(sayWhen(at, at + 24 * HOUR, place))).toBe('Sun 9:15 am');
  });
});

describe('salt', () => {
  // A pound avoirdupois is exactly 0.45359237 kg (NIST Handbook 44), an ounce a sixteenth of it.
  it.each([
    [22.6796185, 'F', '50.0 lb'],
    [0, 'F', '0.0 lb'],
    [-0.001, 'C', '0.0 kg'],
    [5.61, 'C', '5.6 kg'],
  ] as const)('%f kg in %s is %s', (kg, unit, words) => {
    expect(plain(sayWeight(kg, unit))).toBe(words);
  });
  it('says a charge in ounces, and a heavy one in pounds', () => {
    expect(plain(sayCharge(28.349523125, 'F'))).toBe('1.0 oz');
    expect(plain(sayCharge(453.59237, 'F'))).toBe('1.0 lb');
    expect(plain(sayCharge(73, 'C'))).toBe('73 g');
  });
});
