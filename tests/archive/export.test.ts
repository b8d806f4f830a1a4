/** What is taken away is what was kept, in the order that readers expect, and what its metadata says. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { Readable } from 'node:stream';
import { buffer, text } from 'node:stream/consumers';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { arrivalKey, orderedLines, timeKey } from '../../collector/archive/by-time.ts';
import { exportZip } from '../../collector/archive/export.ts';
import { readCsv } from '../support/archive-file.ts';
import { complaints } from '../support/csvw.ts';
import { firingOnDisk } from '../support/firing-on-disk.ts';
import { unzip } from '../support/unzip.ts';

const home = mkdtempSync(join(tmpdir(), 'spyhole-export-'));
afterAll(() => rmSync(home, { recursive: true, force: true }));
let folder = '';
let files: Map<string, Buffer>;
const file = (name: string) => files.get(`${basename(folder)}/${name}`) ?? Buffer.alloc(0);
beforeAll(async () => {
  folder = await firingOnDisk(home);
  files = await unzip(await buffer(await exportZip(folder, { capture: false })));
});

const ordered = (path: string, by = timeKey) => text(Readable.from(orderedLines(path, by)));
const BOM = [0xef, 0xbb, 0xbf];

describe('a firing as a zip', () => {
  it('holds all but the raw link, and that as well where it is asked for', async () => {
    const names = [...files.keys()].map((name) => name.replace(`${basename(folder)}/`, '')).sort();
    expect(names).toEqual([
      'log.csv',
      'log.csv-metadata.json',
      'plan.json',
      'readings.csv',
      'readings.csv-metadata.json',
      'results.csv',
      'results.csv-metadata.json',
    ]);
    writeFileSync(join(folder, 'link.capture'), 'spyhole-capture 1\n');
    const all = await unzip(await buffer(await exportZip(folder, { capture: true })));
    expect(all.get(`${basename(folder)}/link.capture`)?.toString()).toBe('spyhole-capture 1\n');
  });

  it.each(['readings.csv', 'log.csv', 'results.csv'])(
    'has a %s that keeps to the metadata beside it',
    (name) => {
      expect(file(name).length).toBeGreaterThan(100);
      expect(complaints(file(name), file(`${name}-metadata.json`).toString()).slice(0, 5)).toEqual([]);
    },
  );

  it('marks as UTF-8 what people wrote, and leaves the readings, which are ASCII, without a mark', () => {
    expect([...file('log.csv').subarray(0, 3)]).toEqual(BOM);
    expect([...file('results.csv').subarray(0, 3)]).toEqual(BOM);
    // biome-ignore lint/suspicious/noControlCharactersInRegex: ASCII is what is meant.
    expect(file('readings.csv').toString('latin1')).toMatch(/^[\x00-\x7f]*$/);
  });

  it('has the very rows of the archive, by time, and those of one time as they arrived', () => {
    const kept = readCsv(join(folder, 'readings.csv'));
    const arrivals = kept.map(({ arrival }) => Number(arrival));
    expect(kept.map(({ time }) => time)).not.toEqual(kept.map(({ time }) => time).sort());
    const path = join(home, 'taken.csv');
    writeFileSync(path, file('readings.csv'));
    const taken = readCsv(path);
    expect(taken.map(({ arrival }) => Number(arrival)).sort((a, b) => a - b)).toEqual(arrivals);
    const byHand = [...kept].sort(
      (a, b) => (a.time ?? '').localeCompare(b.time ?? '') || Number(a.arrival) - Number(b.arrival),
    );
    expect(taken).toEqual(byHand);
  });

  it('keeps the notes and the plan', () => {
    const log = file('log.csv').toString();
    expect(log).toContain('Südwest');
    expect(file('plan.json').toString()).toBe(readFileSync(join(folder, 'plan.json'), 'utf8'));
  });
});

describe('the check against the metadata', () => {
  it.each([
    ['a datatype', (csv: string) => csv.replace('front-low,20,', 'front-low,hot,'), 'raw cannot be hot'],
    ['a key', (csv: string) => csv.replace(/(\r\n[^\r]+)\r\n/, '$1$1\r\n'), 'of another row'],
    ['an empty cell', (csv: string) => csv.replace(',shed-1,', ',,'), 'board is empty'],
    ['a word', (csv: string) => csv.replace(',candling,', ',burning,'), 'stage cannot be burning'],
    ['the header', (csv: string) => csv.replace('arrival,', 'order,'), 'The header is'],
  ])('sees what is wrong with %s', (_, spoil, what) => {
    const before = file('readings.csv').toString();
    const after = spoil(before);
    expect(after).not.toBe(before);
    const found = complaints(Buffer.from(after), file('readings.csv-metadata.json').toString());
    expect(found.join(' ')).toContain(what);
  });
});

describe('rows in another order', () => {
  const path = join(home, 'few.csv');
  const row = (arrival: number, second: number) =>
    `${arrival},2031-03-08T05:00:${String(second).padStart(2, '0')}.000Z,b\r\n`;
  const HEADER = 'arrival,time,board\r\n';
  const file = (...rows: string[]) => writeFileSync(path, HEADER + rows.join(''));

  it.each([
    ['nothing is late', [0, 1, 2], [0, 1, 2]],
    ['one is late', [0, 5, 2, 6], [0, 2, 1, 3]],
    ['all came backwards', [9, 5, 2, 1], [3, 2, 1, 0]],
    ['the last ones are late', [5, 6, 1, 2], [2, 3, 0, 1]],
    ['two share a time', [5, 6, 5, 6], [0, 2, 1, 3]],
  ])('%s', async (_, seconds, arrivals) => {
    file(...seconds.map((second, arrival) => row(arrival, second)));
    const lines = (await ordered(path)).split('\r\n').slice(1, -1);
    expect(lines.map((line) => Number(line.split(',')[0]))).toEqual(arrivals);
    writeFileSync(path, await ordered(path));
    expect(await ordered(path, arrivalKey)).toBe(
      HEADER + seconds.map((second, arrival) => row(arrival, second)).join(''),
    );
  });

  it('leaves a row that has no time behind the one before it', async () => {
    file(row(0, 5), 'broken\r\n', row(2, 3), row(3, 6));
    expect(await ordered(path)).toBe(HEADER + [row(2, 3), row(0, 5), 'broken\r\n', row(3, 6)].join(''));
  });
});
