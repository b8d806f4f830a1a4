/** Files from elsewhere, all invented: what is guessed of them, what is taken, and what is told. */
import { Readable } from 'node:stream';
import { describe, expect, it } from 'vitest';
import { readCsv } from '../../collector/import/csv.ts';
import { triedOf } from '../../collector/import/gather.ts';
import { leftOutSentence } from '../../collector/import/left-out.ts';
import { lookAt } from '../../collector/import/look.ts';
import type { Mapping } from '../../protocol/imports.ts';

const ABOUT = { fileName: 'C:\\logs\\Herbstbrand 3.csv', zone: 'Europe/Berlin', today: '2031-03-08' };
const bytes = (text: string) => Buffer.from(text);
const look = (file: Buffer) => lookAt(file, ABOUT);
const mappingOf = (file: Buffer, part: Partial<Mapping> = {}): Mapping => {
  const { mapping } = look(file);
  if (mapping === null) throw new Error('nothing was made out');
  return { ...mapping, ...part };
};
const taken = async (text: string | Buffer, part: Partial<Mapping> = {}) => {
  const file = Buffer.from(text);
  return readCsv(Readable.from([file]), mappingOf(file, part));
};
const iso = (times: readonly number[]) => times.map((at) => new Date(at).toISOString().slice(0, 16));

const GERMAN =
  'Datum;Uhrzeit;Vorne (°C);Hinten (°C);Sollwert\r\n08.03.2031;06:30;20,5;19,0;100\r\n13.03.2031;06:31;1.021,5;20,1;100\r\n';

describe('what is guessed', () => {
  it('of semicolons, decimal commas, a date beside a time, and what is wanted beside what is', () => {
    expect(look(bytes(GERMAN))).toMatchObject({
      columns: ['Datum', 'Uhrzeit', 'Vorne (°C)', 'Hinten (°C)', 'Sollwert'],
      mapping: {
        name: 'Herbstbrand 3',
        encoding: 'utf-8',
        delimiter: ';',
        decimal: ',',
        skipRows: 1,
        time: { kind: 'clock', columns: [0, 1], order: 'dmy', zone: 'Europe/Berlin' },
        unit: 'C',
        probes: [
          { column: 2, name: 'vorne', couple: null },
          { column: 3, name: 'hinten', couple: null },
        ],
      },
    });
  });

  it('of columns that spaces keep straight, and of spaces within dates and names where commas part the columns', async () => {
    const straight =
      'minutes  front   back\n   0.0   20.0     19\n  10.0  101.5   99.5\n 100.0 1001.0 998.0\n';
    expect(look(bytes(straight))).toMatchObject({
      delimiter: ' ',
      columns: ['minutes', 'front', 'back'],
      mapping: { delimiter: ' ', time: { kind: 'since', unit: 'min', column: 0 } },
    });
    expect((await taken(straight)).columns).toEqual([
      [20, 101.5, 1001],
      [19, 99.5, 998],
    ]);
    const dated = 'when,front low,back low\n2031-03-08 06:30,20,19\n2031-03-08 06:31,21,20\n';
    expect(look(bytes(dated)).delimiter).toBe(',');
  });

  it('by what is said to part the columns, where somebody has said so', () => {
    const odd = 'minute;front,high;back\n0;20;19\n1;30;29\n2;40;39\n';
    expect(look(bytes(odd)).columns).toEqual(['minute', 'front,high', 'back']);
    const told = (delimiter: Mapping['delimiter']) => lookAt(bytes(odd), { ...ABOUT, delimiter });
    expect(told(',')).toMatchObject({ delimiter: ',', mapping: null });
    expect(told(';')).toEqual(look(bytes(odd)));
  });

  it.each([
    [
      'minutes since the start',
      'Time (min),Temp 1 (F),Temp 2 (F)\n0,70,71\n1,75,76\n',
      { kind: 'since', unit: 'min' },
      'F',
    ],
    ['seconds', 'elapsed sec,kiln\n0,20\n30,22\n60,25\n', { kind: 'since', unit: 's' }, 'C'],
    ['hours', 'hours\tkiln\n0\t20\n0.5\t22\n', { kind: 'since', unit: 'h' }, 'C'],
    ['hours and minutes', 'at,kiln\n0:00,20\n0:30,22\n', { kind: 'since', unit: 'hms' }, 'C'],
    ['seconds of 1970', 't,kiln\n1930000000,20\n1930000060,22\n', { kind: 'epoch', unit: 's' }, 'C'],
    [
      'milliseconds of 1970',
      't,kiln\n1930000000000,20\n1930000060000,22\n',
      { kind: 'epoch', unit: 'ms' },
      'C',
    ],
    [
      'American dates',
      'when,kiln °F\n3/8/2031 6:30 AM,70\n3/8/2031 6:31 AM,72\n',
      { kind: 'clock', order: 'mdy' },
      'F',
    ],
    [
      'words above the columns',
      'Logger 7\nserial,1234\n\nwhen,kiln\n2031-03-08 06:30,20\n2031-03-08 06:31,22\n',
      { kind: 'clock', order: 'ymd' },
      'C',
    ],
  ])('of %s', (_, text, time, unit) => {
    const { mapping } = look(bytes(text));
    expect(mapping).toMatchObject({ time, unit });
    expect(mapping?.probes.length).toBeGreaterThan(0);
  });

  it('of older letters and of two bytes a letter', () => {
    const older = Buffer.from('when;Ofen °C\n2031-03-08 06:30;20\n2031-03-08 06:31;21\n', 'latin1');
    expect(mappingOf(older)).toMatchObject({ encoding: 'windows-1252', unit: 'C' });
    const wide = Buffer.from('\ufeffwhen,Ofen °C\n2031-03-08 06:30,20\n2031-03-08 06:31,21\n', 'utf16le');
    expect(mappingOf(wide)).toMatchObject({ encoding: 'utf-16le', unit: 'C' });
  });

  it.each(['', 'Dear potter,\nthe kiln was fine.\n', 'a,b\nx,y\n', '\u0000\u0001\u0002'])(
    'of %j is nothing',
    (text) => {
      expect(look(bytes(text)).mapping).toBeNull();
    },
  );
});

describe('what is taken', () => {
  it('is °C by the local time of the zone, from either unit and decimal sign', async () => {
    const german = await taken(GERMAN);
    expect(iso(german.at)).toEqual(['2031-03-08T05:30', '2031-03-13T05:31']);
    expect(german.columns).toEqual([
      [20.5, 1021.5],
      [19, 20.1],
    ]);
    const american = await taken('when,kiln °F\n2031-03-08 06:30,2200\n2031-03-08 06:31,32\n');
    expect(american.columns).toEqual([[1204.44, 0]]);
  });

  it('counts from a given start', async () => {
    const zone = 'America/New_York';
    const time = { kind: 'since' as const, column: 0, unit: 'min' as const, start: '2031-03-08T06:30', zone };
    expect(iso((await taken('min,kiln\n0,20\n90,30\n', { time })).at)).toEqual([
      '2031-03-08T11:30',
      '2031-03-08T13:00',
    ]);
  });

  it('tells the hour that the clocks have twice by the order of the file', async () => {
    const rows = ['01:30', '02:00', '02:30', '02:00', '02:30', '03:00'];
    const { at, leftOut } = await taken(
      `when,kiln\n${rows.map((row, i) => `2024-10-27 ${row},${20 + i}\n`).join('')}`,
    );
    expect(iso(at)).toEqual([
      '2024-10-26T23:30',
      '2024-10-27T00:00',
      '2024-10-27T00:30',
      '2024-10-27T01:00',
      '2024-10-27T01:30',
      '2024-10-27T02:00',
    ]);
    expect(leftOut).toMatchObject({ doubledHour: 4, unsorted: 0, doubled: 0 });
  });

  it('counts and tells what was not taken as it stood', async () => {
    const { at, columns, leftOut } = await taken(
      [
        'when,front,back',
        '2031-03-08 06:30,20,21',
        '2031-03-08 06:32,22,',
        '2031-03-08 06:31,21,OPEN',
        '2031-03-08 06:31,99,99',
        'yesterday,20,20',
        '2031-03-08 06:33,,---',
        '2031-03-08 06:34,9999,25',
        '2031-03-08 06:35,26',
        '',
      ].join('\n'),
      { unit: 'C' },
    );
    expect(iso(at).map((time) => time.slice(-2))).toEqual(['30', '31', '32', '34', '35']);
    expect(columns).toEqual([
      [20, 21, 22, null, 26],
      [21, null, null, 25, null],
    ]);
    expect(leftOut).toEqual({
      noTime: 1,
      noHeat: 1,
      doubled: 1,
      unsorted: 2,
      doubledHour: 0,
      skippedHour: 0,
      wildHeats: 1,
    });
    expect(leftOutSentence(leftOut)).toMatch(/^1 row without a time left out, .+ no kiln has left empty\.$/);
    expect(
      leftOutSentence({ ...leftOut, noTime: 0, noHeat: 0, doubled: 0, unsorted: 0, wildHeats: 0 }),
    ).toBeNull();
  });

  it('is shown as figures and a small curve before anything is made', async () => {
    const file = bytes(GERMAN);
    const mapping = mappingOf(file);
    const tried = triedOf(mapping, await readCsv(Readable.from([file]), mapping));
    expect(tried).toMatchObject({
      rows: 2,
      probes: [
        { name: 'vorne', count: 2, leastC: 20.5, mostC: 1021.5 },
        { name: 'hinten', count: 2, leastC: 19, mostC: 20.1 },
      ],
    });
    expect(tried.curve.at.length).toBeGreaterThan(1);
  });

  it('comes in pieces that part letters and lines anywhere', async () => {
    const file = bytes(GERMAN);
    const mapping = mappingOf(file);
    const whole = await readCsv(Readable.from([file]), mapping);
    const crumbs = Array.from(file, (byte) => Buffer.from([byte]));
    expect(await readCsv(Readable.from(crumbs), mapping)).toEqual(whole);
  });

  it('is refused in a sentence where it is too large, or has nothing that can be taken', async () => {
    const file = bytes(GERMAN);
    const mapping = mappingOf(file);
    await expect(readCsv(Readable.from([file, file]), mapping, file.length + 10)).rejects.toThrow(
      /larger than/,
    );
    const wrong: Mapping = { ...mapping, probes: [{ column: 0, name: 'front', couple: null }] };
    await expect(readCsv(Readable.from([file]), wrong)).rejects.toThrow(
      /^No row has a time and a temperature/,
    );
    const nowhere: Mapping = {
      ...mapping,
      time: { kind: 'clock', columns: [0, 1], order: 'dmy', zone: 'Mars/Olympus' },
    };
    await expect(readCsv(Readable.from([file]), nowhere)).rejects.toThrow(
      'There is no time zone Mars/Olympus',
    );
  });
});
