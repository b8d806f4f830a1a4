import { describe, expect, it } from 'vitest';
import { hoursOf, numberOf, writtenTime, zoneClock } from '../../collector/import/cells.ts';

const at = (text: string) => Date.parse(`${text}Z`);

describe('a number of a stranger', () => {
  it.each([
    ['1204.4', '.', 1204.4],
    ['1204,4', ',', 1204.4],
    [' 1,204.4 ', '.', 1204.4],
    ['1.204,4', ',', 1204.4],
    ['1 204,4', ',', 1204.4],
    ['72 °F', '.', 72],
    ['-3.5C', '.', -3.5],
    ['1.2e3', '.', 1200],
    ['', '.', null],
    ['---', '.', null],
    ['OPEN', '.', null],
    ['NaN', '.', null],
    ['0x10', '.', null],
    ['12:30', '.', null],
  ] as const)('%j with a %s is %j', (cell, decimal, value) => {
    expect(numberOf(cell, decimal)).toBe(value);
  });
});

describe('a time of a stranger', () => {
  it.each([
    ['2031-03-08T06:30:00.250Z', 'ymd', at('2031-03-08T06:30:00.250'), 0],
    ['2031-03-08 06:30', 'ymd', at('2031-03-08T06:30'), null],
    ['2031/3/8 6:30:05', 'ymd', at('2031-03-08T06:30:05'), null],
    ['2031-03-08T06:30:00-05:00', 'ymd', at('2031-03-08T06:30'), -5 * 3_600_000],
    ['8.3.2031 06:30', 'dmy', at('2031-03-08T06:30'), null],
    ['3/8/31 6:30 pm', 'mdy', at('2031-03-08T18:30'), null],
    ['3/8/2031, 12:05:00 AM', 'mdy', at('2031-03-08T00:05'), null],
    ['2031-03-08T06:30:00+0530', 'dmy', at('2031-03-08T06:30'), 5.5 * 3_600_000],
  ] as const)('%s', (text, order, localMs, offsetMs) => {
    expect(writtenTime(text, order)).toMatchObject({ localMs, offsetMs });
  });

  it.each([
    '',
    '31.02.2031 06:30',
    '2031-13-01 06:30',
    '2031-03-08',
    '06:30',
    '2031-03-08 25:00',
    '2031-03-08 13:00 pm',
  ])('%j is none', (text) => {
    expect(writtenTime(text, 'dmy')).toBeNull();
  });

  it.each([
    ['0:05', 300_000],
    ['100:05:30', 360_330_000],
    ['1:05:30,5', 3_930_500],
    ['1:65', null],
    ['5', null],
  ])('%s since the start is %j ms', (cell, ms) => {
    expect(hoursOf(cell)).toBe(ms);
  });
});

// Rules of the IANA time zone database: the European Union changes its clocks at 01:00 UTC on the last Sundays of March and
// October, the United States at 02:00 local on the second Sunday of March and the first of November; Lord Howe by half an hour.
describe('local time to a moment', () => {
  it.each([
    ['Europe/Berlin', '2024-07-01T12:00', 'one', '2024-07-01T10:00', '2024-07-01T10:00'],
    ['Europe/Berlin', '2024-03-31T02:30', 'skipped', '2024-03-31T01:30', '2024-03-31T01:30'],
    ['Europe/Berlin', '2024-10-27T02:30', 'doubled', '2024-10-27T00:30', '2024-10-27T01:30'],
    ['Europe/Berlin', '2024-10-27T03:00', 'one', '2024-10-27T02:00', '2024-10-27T02:00'],
    ['America/New_York', '2024-03-10T02:15', 'skipped', '2024-03-10T07:15', '2024-03-10T07:15'],
    ['America/New_York', '2024-11-03T01:59', 'doubled', '2024-11-03T05:59', '2024-11-03T06:59'],
    ['Australia/Lord_Howe', '2024-04-07T01:45', 'doubled', '2024-04-06T14:45', '2024-04-06T15:15'],
    ['UTC', '2024-10-27T02:30', 'one', '2024-10-27T02:30', '2024-10-27T02:30'],
  ])('%s %s', (zone, local, kind, earlier, later) => {
    expect(zoneClock(zone)(at(local))).toEqual({ kind, earlier: at(earlier), later: at(later) });
  });

  it('throws for a zone that there is not', () => {
    expect(() => zoneClock('Mars/Olympus')).toThrow(RangeError);
  });
});
