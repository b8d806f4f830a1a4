import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it, onTestFinished } from 'vitest';
import { systemDisk } from '../../collector/archive/disk.ts';
import { readResults, resultsFromText, resultsText, saveResults } from '../../collector/archive/results.ts';
import { readingsMetadata, resultsMetadata } from '../../protocol/archive-metadata.ts';
import { BLUSHES, FAULTS, type ResultRow, resultKey, yieldOf } from '../../protocol/results.ts';

const ROW: ResultRow = {
  place: 'front low',
  shape: 'mug',
  clay: 'dark stoneware',
  loaded: 12,
  good: 9,
  seconds: 2,
  lost: 1,
  faults: ['stuck', 'over-salted'],
  blush: 'some',
  colour: 'orange peel, grey at the foot',
  notes: 'one stood in "the draught"\r\nand leaned',
  photos: ['shelf 2, front.jpg', 'foot.jpg'],
};

function newFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'spyhole-results-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

const name = fc.string({ unit: 'grapheme-ascii', minLength: 1, maxLength: 40 });
const note = fc.string({
  unit: fc.constantFrom('a', '=', '+', "'", '"', ',', ';', '\r', '\n', ' ', 'ß', '＝'),
  maxLength: 40,
});
const count = fc.nat(10_000);
const photo = fc
  .string({ unit: fc.constantFrom('a', '=', "'", '"', ',', ' ', '.', '-'), minLength: 1, maxLength: 20 })
  .map((text) => text.trim())
  .filter((text) => text !== '');
const row: fc.Arbitrary<ResultRow> = fc.record({
  place: name,
  shape: name,
  clay: fc.string({ unit: 'grapheme-ascii', maxLength: 40 }),
  loaded: fc.option(count),
  good: count,
  seconds: count,
  lost: count,
  faults: fc.subarray([...FAULTS]),
  blush: fc.constantFrom(null, ...BLUSHES),
  colour: note,
  notes: note,
  photos: fc.array(photo, { maxLength: 5 }),
});

describe('results.csv', () => {
  it('gives back whatever was written', () => {
    fc.assert(
      fc.property(fc.uniqueArray(row, { selector: resultKey, maxLength: 6 }), (rows) => {
        expect(resultsFromText(resultsText(rows))).toEqual(rows);
      }),
      { numRuns: 100 },
    );
  });

  it('holds no formula (OWASP, CSV injection)', () => {
    const [, line] = resultsText([{ ...ROW, place: '=1+1', notes: '' }]).split('\r\n');
    expect(line?.startsWith("'=1+1,")).toBe(true);
  });

  it('has a header line and CRLF (RFC 4180), and the columns that its metadata tells of', () => {
    const [header] = resultsText([ROW]).split('\r\n');
    const { url, tableSchema } = resultsMetadata('spring');
    expect(header).toBe('place,shape,clay,loaded,good,seconds,lost,faults,blush,colour,notes,photos');
    expect(tableSchema.columns.map(({ name: column }) => column).join()).toBe(header);
    expect(tableSchema.primaryKey).toEqual(['place', 'shape', 'clay']);
    expect(url).toBe('results.csv');
    expect(resultsMetadata('spring').dialect).toEqual(readingsMetadata('spring').dialect);
  });

  it.each([
    ['a count that is none', 'place,shape,good,seconds,lost\nfront,mug,nine,0,0\n', 'row 1, good'],
    [
      'a fault that nobody knows',
      'place,shape,good,seconds,lost,faults\nfront,mug,9,0,0,odd\n',
      'row 1, faults',
    ],
    ['a kind twice', 'place,shape,good,seconds,lost\nfront,mug,9,0,0\nfront,mug,1,0,0\n', 'its rows'],
    ['an open quote', 'place,shape,good,seconds,lost\nfront,"mug,9,0,0\n', 'quotes'],
  ])('with %s is told in one sentence', (_, text, part) => {
    expect(() => resultsFromText(text)).toThrow(part);
  });

  it('may come out of a spreadsheet: columns in another order, a byte order mark, LF', () => {
    const [one] = resultsFromText('\ufefflost,seconds,good,shape,place\n1,2,9,mug,front\n');
    expect(one).toMatchObject({ place: 'front', shape: 'mug', clay: '', loaded: null, good: 9, lost: 1 });
  });
});

describe('saving', () => {
  it('goes on from what stands there, with the metadata beside it and nothing left over', async () => {
    const folder = newFolder();
    expect(await readResults(folder)).toEqual({ revision: '', rows: [] });
    const first = await saveResults(folder, { revision: '', rows: [ROW] }, 'spring');
    expect(first.taken).toBe(true);
    expect(await readResults(folder)).toEqual(first.results);
    const second = await saveResults(folder, { ...first.results, rows: [{ ...ROW, good: 8 }] }, 'spring');
    expect(second.taken).toBe(true);
    expect(second.results.revision).not.toBe(first.results.revision);
    expect(readdirSync(folder).sort()).toEqual(['results.csv', 'results.csv-metadata.json']);
  });

  it('of two at once takes one, and hands the other what stands there now', async () => {
    const folder = newFolder();
    const both = await Promise.all(
      [9, 8].map((good) => saveResults(folder, { revision: '', rows: [{ ...ROW, good }] }, 'spring')),
    );
    expect(both.map(({ taken }) => taken)).toEqual([true, false]);
    expect(both[1]?.results).toEqual(both[0]?.results);
  });

  it('takes a file that was mended by hand for a newer one', async () => {
    const folder = newFolder();
    const { results } = await saveResults(folder, { revision: '', rows: [ROW] }, 'spring');
    const path = join(folder, 'results.csv');
    writeFileSync(path, readFileSync(path, 'utf8').replace(',9,', ',7,'));
    const answer = await saveResults(folder, results, 'spring');
    expect(answer.taken).toBe(false);
    expect(answer.results.rows[0]?.good).toBe(7);
  });

  it('writes over nothing that it cannot read', async () => {
    const folder = newFolder();
    writeFileSync(join(folder, 'results.csv'), 'place,shape,good,seconds,lost\nfront,mug,nine,0,0\n');
    await expect(saveResults(folder, { revision: '', rows: [ROW] }, 'spring')).rejects.toThrow('mend it');
    expect(readFileSync(join(folder, 'results.csv'), 'utf8')).toContain('nine');
  });

  it('leaves the old file where the disk fails', async () => {
    const folder = newFolder();
    const { results } = await saveResults(folder, { revision: '', rows: [ROW] }, 'spring');
    const full = { ...systemDisk, replace: () => Promise.reject(new Error('ENOSPC')) };
    await expect(saveResults(folder, { ...results, rows: [] }, 'spring', full)).rejects.toThrow('ENOSPC');
    expect(await readResults(folder)).toEqual(results);
    expect((await saveResults(folder, { ...results, rows: [] }, 'spring')).taken).toBe(true);
  });
});

describe('yield', () => {
  it.each([
    [[], null],
    [[{ good: 0, seconds: 0, lost: 0 }], null],
    [[{ good: 9, seconds: 2, lost: 1 }], 0.75],
    [
      [
        { good: 9, seconds: 2, lost: 1 },
        { good: 0, seconds: 0, lost: 6 },
      ],
      0.5,
    ],
  ])('of %j is %j', (rows, share) => {
    expect(yieldOf(rows).share).toBe(share);
  });
});
