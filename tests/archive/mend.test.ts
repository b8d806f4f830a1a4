import { mkdir, readFile, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import type { Archive } from '../../collector/archive/archive.ts';
import { takeLogApart } from '../../collector/archive/log-text.ts';
import { findTorn } from '../../collector/archive/mend.ts';
import { readLog, readReadings } from '../../collector/archive/read.ts';
import { csvText, LOG_HEADER, logCells } from '../../collector/archive/row-text.ts';
import type { LogRow, ReadingRow } from '../../collector/archive/rows.ts';
import { openExisting } from '../../collector/archive/write.ts';
import {
  begin,
  captureOf,
  collect,
  folders,
  hastyDisk,
  helloRow,
  logRow,
  readingInput,
  readingOutput,
  STARTED_AT,
} from './sample.ts';

const newFolder = folders();
const NAMES = ['link.capture', 'log.csv', 'readings.csv'] as const;

/** The files of a small firing, its last log row spanning lines. */
async function smallFiring(): Promise<Record<(typeof NAMES)[number], Buffer>> {
  const { archive } = await begin(newFolder());
  archive.log(helloRow(STARTED_AT));
  archive.log(logRow(STARTED_AT, { log: 'light-up' }));
  for (let seq = 0; seq < 6; seq++) {
    archive.capture(captureOf(readingInput(seq)));
    archive.readings(readingOutput(readingInput(seq)));
  }
  const who = 'Ada,\r\n7,2031-03-08T12:00:00.000Z,"and"\nBo';
  archive.log(logRow(STARTED_AT + 1500, { log: 'note', note: 'wet\r\nwood "again"' }, { who }));
  archive.log(logRow(STARTED_AT + 2500, { log: 'stoke', hole: 'left' }, { where: '=page' }));
  await archive.close();
  const [capture, log, readings] = await Promise.all(
    NAMES.map((name) => readFile(join(archive.folder, name))),
  );
  if (!capture || !log || !readings) throw new Error('the firing has its files');
  return { 'link.capture': capture, 'log.csv': log, 'readings.csv': readings };
}

let whole: Awaited<ReturnType<typeof smallFiring>>;
let allReadings: ReadingRow[];
let allLog: LogRow[];

async function put(files: typeof whole, folder: string): Promise<void> {
  for (const name of NAMES) await writeFile(join(folder, name), files[name]);
}

beforeAll(async () => {
  whole = await smallFiring();
  const folder = newFolder();
  await put(whole, folder);
  allReadings = await collect(readReadings(folder));
  allLog = await readLog(folder);
  expect([allReadings.length, allLog.length]).toEqual([12, 4]);
});

const noTrouble = (text: string | null) => expect(text).toBeNull();
const count = (length: number) => Array.from({ length }, (_, i) => i);

async function mended(folder: string): Promise<void> {
  const archive = await openExisting(folder, { onTrouble: noTrouble }, hastyDisk);
  await archive.close();
}

/** Where rows end, by bytes: an end of line outside quotes (RFC 4180). */
function rowEnds(bytes: Buffer): number[] {
  const ends: number[] = [];
  let quoted = false;
  for (const [i, byte] of bytes.entries()) {
    if (byte === 34) quoted = !quoted;
    if (byte === 10 && !quoted) ends.push(i + 1);
  }
  return ends;
}

/** Adds one row to the file of that name. */
function addTo(name: (typeof NAMES)[number], archive: Archive): void {
  if (name === 'link.capture') archive.capture('2031-03-08T12:00:09.000Z # back');
  else if (name === 'log.csv') archive.log(logRow(STARTED_AT + 9000, { log: 'note', note: 'back' }));
  else archive.readings(readingOutput(readingInput(9)));
}

describe('a firing cut off at any byte of its last 300', () => {
  it.each(NAMES)(
    '%s: what is whole stays, what is torn goes, and a row added then stands by itself',
    async (name) => {
      const folder = newFolder();
      const path = join(folder, name);
      const bytes = whole[name];
      const ends = rowEnds(bytes);
      const broken: unknown[] = [];
      const read = async () => {
        const rows = await collect(readReadings(folder, (row) => broken.push(row)));
        return { rows, log: await readLog(folder, (row) => broken.push(row)) };
      };
      await put(whole, folder);
      for (let cut = bytes.length - 300; cut <= bytes.length; cut++) {
        await writeFile(path, bytes.subarray(0, cut));
        const torn = await read();
        expect(torn.rows).toEqual(allReadings.slice(0, torn.rows.length));
        expect(torn.log).toEqual(allLog.slice(0, torn.log.length));

        const archive = await openExisting(folder, { onTrouble: noTrouble }, hastyDisk);
        const kept = ends.filter((end) => end <= cut).at(-1) ?? 0;
        expect((await readFile(path)).equals(bytes.subarray(0, kept)), `cut at ${cut}`).toBe(true);

        addTo(name, archive);
        await archive.close();
        expect((await readFile(path)).subarray(0, kept).equals(bytes.subarray(0, kept))).toBe(true);
        const after = await read();
        const added = { rows: name === 'readings.csv' ? 2 : 0, log: name === 'log.csv' ? 1 : 0 };
        expect(after.rows.slice(0, torn.rows.length)).toEqual(torn.rows);
        expect(after.rows.map(({ arrival }) => arrival)).toEqual(count(torn.rows.length + added.rows));
        expect(after.log.slice(0, torn.log.length)).toEqual(torn.log);
        expect(after.log.map(({ entry }) => entry)).toEqual(count(torn.log.length + added.log));
      }
      expect(broken).toEqual([]);
    },
    60_000,
  );
});

describe('what a power cut leaves', () => {
  it.each([1, 511, 5000, 300_000])('%i zero bytes at the end are cut off', async (zeros) => {
    const folder = newFolder();
    await put(whole, folder);
    for (const name of NAMES)
      await writeFile(join(folder, name), Buffer.concat([whole[name], Buffer.alloc(zeros)]));
    expect(await collect(readReadings(folder))).toEqual(allReadings);
    await mended(folder);
    for (const name of NAMES) expect((await readFile(join(folder, name))).equals(whole[name])).toBe(true);
  });

  it('zero bytes behind half a row take that row with them', async () => {
    const folder = newFolder();
    await put(whole, folder);
    const half = whole['readings.csv'].subarray(0, whole['readings.csv'].length - 40);
    await writeFile(join(folder, 'readings.csv'), Buffer.concat([half, Buffer.alloc(4096)]));
    await mended(folder);
    expect(await collect(readReadings(folder))).toEqual(allReadings.slice(0, -1));
  });

  it.each(NAMES)(
    '%s: a header alone stays, a torn header is written again, as is an empty or a missing file',
    async (name) => {
      const header = whole[name].subarray(0, whole[name].indexOf(10) + 1);
      for (const left of [
        header,
        header.subarray(0, 9),
        header.subarray(0, -1),
        Buffer.alloc(0),
        Buffer.alloc(64),
        null,
      ]) {
        const folder = newFolder();
        await put(whole, folder);
        if (left === null) await rm(join(folder, name));
        else await writeFile(join(folder, name), left);
        await mended(folder);
        expect((await readFile(join(folder, name))).toString()).toBe(header.toString());
      }
    },
  );
});

describe('what is not torn stays', () => {
  it('changes nothing in whole files', async () => {
    const folder = newFolder();
    await put(whole, folder);
    expect(await findTorn(folder)).toEqual({ 'link.capture': null, 'log.csv': null, 'readings.csv': null });
    await mended(folder);
    for (const name of NAMES) expect((await readFile(join(folder, name))).equals(whole[name])).toBe(true);
  });

  it('a firing without files has nothing torn', async () => {
    const folder = join(newFolder(), 'empty');
    await mkdir(folder);
    expect(await findTorn(folder)).toEqual({ 'link.capture': null, 'log.csv': null, 'readings.csv': null });
  });

  const row = (entry: number, who = 'Ada') =>
    csvText([
      logCells({
        entry,
        at: 0,
        madeAt: 0,
        who,
        where: 'page',
        log: 'note',
        json: { log: 'note', note: 'x' },
        replaces: null,
      }),
    ]);

  it.each([
    ['a stray quote in the middle', '1,1970-01-01T00:00:00.000Z,oh "dear,,,,,\r\n'],
    [
      'a quote opened and never closed',
      '1,1970-01-01T00:00:00.000Z,1970-01-01T00:00:00.000Z,"Ada,page,note,{},\r\n',
    ],
    ['too few cells', '1,x\r\n'],
    ['no JSON', '1,1970-01-01T00:00:00.000Z,1970-01-01T00:00:00.000Z,Ada,page,note,{,\r\n'],
    ['zeros within a line', `${'\0'.repeat(50)}\r\n`],
  ])('%s costs that line of log.csv alone', (_, hurt) => {
    const bytes = Buffer.from(LOG_HEADER + row(0) + hurt + row(2) + row(3, 'two\nlines') + row(4));
    const taken = takeLogApart(bytes);
    expect(taken.rows.map(({ entry }) => entry)).toEqual([0, 2, 3, 4]);
    expect(taken.broken.map(({ line }) => line)).toEqual([3]);
    expect(taken.keepBytes).toBe(bytes.length);
  });

  it('two stray quotes, far apart, cost two lines', () => {
    const hurt = '1,1970-01-01T00:00:00.000Z,oh "dear,,,,,\r\n';
    const bytes = Buffer.from(LOG_HEADER + row(0) + hurt + row(2) + row(3) + hurt + row(5));
    expect(takeLogApart(bytes).rows.map(({ entry }) => entry)).toEqual([0, 2, 3, 5]);
  });

  it('only the torn end is cut off behind a hurt line', () => {
    const hurt = '1,1970-01-01T00:00:00.000Z,oh "dear,,,,,\r\n';
    const good = LOG_HEADER + row(0) + hurt + row(2);
    const torn = row(3, 'two\r\nlines').slice(0, -20);
    const taken = takeLogApart(Buffer.from(good + torn));
    expect(taken.rows.map(({ entry }) => entry)).toEqual([0, 2]);
    expect(taken.keepBytes).toBe(Buffer.byteLength(good));
  });

  it('an entry whose texts are nothing but line ends is one row, also as the last', () => {
    const lines = '\n'.repeat(80);
    const logged = {
      at: 0,
      madeAt: 0,
      who: lines,
      where: lines,
      log: lines,
      json: { log: lines },
      replaces: null,
    };
    const bytes = Buffer.from(LOG_HEADER + csvText([logCells({ entry: 0, ...logged })]));
    const taken = takeLogApart(bytes);
    expect(taken.rows).toEqual([{ entry: 0, ...logged }]);
    expect(taken.keepBytes).toBe(bytes.length);
  });

  it('reads a file that a spreadsheet has saved: a byte order mark, LF, everything in quotes', () => {
    const quoted = row(0)
      .replace(/\r\n$/, '')
      .split(',"{')[0]
      ?.split(',')
      .map((cell) => `"${cell}"`)
      .join();
    const text = `\ufeff${LOG_HEADER.trim()
      .split(',')
      .map((name) => `"${name}"`)}\n${quoted},"{""log"":""note"",""note"":""x""}",""\n`;
    expect(takeLogApart(Buffer.from(text))).toMatchObject({ rows: [{ entry: 0, who: 'Ada' }], broken: [] });
  });
});
