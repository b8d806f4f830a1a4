import { mkdir, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { BrokenRow } from '../../collector/archive/archive.ts';
import { lastReadings, readLog, readPlan, readReadings } from '../../collector/archive/read.ts';
import { csvText, READINGS_HEADER, readingCells } from '../../collector/archive/row-text.ts';
import type { ReadingRow } from '../../collector/archive/rows.ts';
import { collect, folders } from './sample.ts';

const newFolder = folders();

function row(arrival: number, change: Partial<ReadingRow> = {}): ReadingRow {
  return {
    arrival,
    at: arrival * 1000,
    board: 'shed-1',
    boot: '9F00C2A1',
    seq: arrival,
    uptimeMs: arrival * 1000,
    coldJunctionC: 20,
    probe: 'low',
    raw: 5,
    tempC: 25,
    smoothC: 25,
    climbCPerH: 0,
    climbSdCPerH: 1,
    cone: null,
    stage: 'before',
    late: false,
    flags: [],
    ...change,
  };
}

const textOf = (rows: ReadingRow[]) => csvText(rows.map(readingCells));

async function read(text: string | Buffer) {
  const folder = newFolder();
  await writeFile(join(folder, 'readings.csv'), text);
  const broken: BrokenRow[] = [];
  const rows = await collect(readReadings(folder, (each) => broken.push(each)));
  return { folder, rows, broken };
}

describe('readings.csv', () => {
  it('is read in pieces, each row once and in order', async () => {
    const rows = Array.from({ length: 12_000 }, (_, i) => row(i));
    const folder = newFolder();
    await writeFile(join(folder, 'readings.csv'), READINGS_HEADER + textOf(rows));
    const sizes: number[] = [];
    let next = 0;
    for await (const batch of readReadings(folder)) {
      sizes.push(batch.length);
      for (const each of batch) expect(each.arrival).toBe(next++);
    }
    expect(next).toBe(12_000);
    expect(sizes.length).toBeGreaterThan(2);
    expect(Math.max(...sizes)).toBeLessThan(5000);
  });

  it.each([
    [
      'a cell that is no number',
      (line: string) => line.replace(',20,', ',x,'),
      /cold_junction_c cannot be 'x'/,
    ],
    ['a row cut short by hand', (line: string) => line.slice(0, 30), /cells and should have 17/],
    ['a stray quote', (line: string) => line.replace('shed-1', 'sh"ed,-1'), /cells and should have 17/],
    ['an unknown flag', (line: string) => `${line}hot`, /flags cannot be 'hot'/],
    [
      'a time in another form',
      (line: string) => line.replace('1970-01-01T00:00:01.000Z', '1/1/1970 0:00'),
      /time/,
    ],
    [
      'a cone that a spreadsheet took for a number',
      (line: string) => line.replace(',,before', ',6,before'),
      /cone/,
    ],
    ['zeros', () => '\0\0\0', /cells and should have 17/],
  ])('%s: the row is told with its line and left out, and the others are read', async (_, hurt, why) => {
    const lines = textOf([row(0), row(1), row(2)]).split('\r\n');
    lines[1] = hurt(lines[1] ?? '');
    const { rows, broken } = await read(READINGS_HEADER + lines.join('\r\n'));
    expect(rows).toEqual([row(0), row(2)]);
    expect(broken).toEqual([{ file: 'readings.csv', line: 3, text: expect.stringMatching(why) }]);
  });

  it('a quote opened by hand swallows no other row', async () => {
    const lines = textOf([row(0), row(1), row(2)]).split('\r\n');
    lines[1] = `"${lines[1]}`;
    const { rows, broken } = await read(READINGS_HEADER + lines.join('\r\n'));
    expect([rows.length, broken.length]).toEqual([2, 1]);
  });

  it('is read as a spreadsheet saves it: a byte order mark, LF, every cell in quotes, empty lines', async () => {
    const text = (READINGS_HEADER + textOf([row(0), row(1, { flags: ['open', 'pulled'] })]))
      .trimEnd()
      .split('\r\n')
      .map((line) => line.split(',').map((cell) => `"${cell}"`))
      .join('\n');
    const { rows, broken } = await read(`\ufeff${text}\n\n`);
    expect(rows).toEqual([row(0), row(1, { flags: ['open', 'pulled'] })]);
    expect(broken).toEqual([]);
  });

  it('a last line without its end is left out: it may be torn, or not finished yet', async () => {
    const text = READINGS_HEADER + textOf([row(0), row(1, { flags: ['open', 'pulled'] })]);
    const { rows, broken } = await read(text.slice(0, -' pulled\r\n'.length));
    expect(rows).toEqual([row(0)]);
    expect(broken).toEqual([]);
  });

  it('that is not there is empty; one that cannot be read is told', async () => {
    const folder = newFolder();
    const broken: BrokenRow[] = [];
    expect(await collect(readReadings(folder, (each) => broken.push(each)))).toEqual([]);
    expect(broken).toEqual([]);
    await mkdir(join(folder, 'readings.csv'));
    expect(await collect(readReadings(folder, (each) => broken.push(each)))).toEqual([]);
    expect(broken).toEqual([
      { file: 'readings.csv', line: 1, text: expect.stringMatching(/see to the disk/) },
    ]);
  });

  it("'s end holds its last reading that was on time, however many late ones stand behind it", async () => {
    const late = Array.from({ length: 3000 }, (_, i) => row(i + 2, { at: 5, late: true }));
    const { folder } = await read(READINGS_HEADER + textOf([row(0), row(1), ...late]));
    const tail = await lastReadings(folder);
    expect(tail.at(-1)?.arrival).toBe(3001);
    expect(tail.some(({ arrival }) => arrival === 1)).toBe(true);
    await rm(join(folder, 'readings.csv'));
    expect(await lastReadings(folder)).toEqual([]);
  });

  it("'s end is found though what stands last is hurt", async () => {
    const { folder } = await read(`${READINGS_HEADER + textOf([row(0)])}${'\0'.repeat(200_000)}\n`);
    expect((await lastReadings(folder)).map(({ arrival }) => arrival)).toEqual([0]);
    const { folder: bare } = await read(READINGS_HEADER);
    expect(await lastReadings(bare)).toEqual([]);
  });
});

describe('log.csv and plan.json', () => {
  it('that are not there are empty', async () => {
    const folder = newFolder();
    const broken: BrokenRow[] = [];
    const note = (each: BrokenRow) => broken.push(each);
    expect(await readLog(folder, note)).toEqual([]);
    expect(await readPlan(folder, note)).toBeNull();
    expect(broken).toEqual([]);
  });

  it('a plan that is none is told', async () => {
    const folder = newFolder();
    const broken: BrokenRow[] = [];
    for (const text of ['{', '[]', '{"plan":{"topC":"hot"},"boards":[],"startedAt":0,"source":"board"}']) {
      await writeFile(join(folder, 'plan.json'), text);
      expect(await readPlan(folder, (each) => broken.push(each))).toBeNull();
    }
    expect(broken.map(({ file }) => file)).toEqual(['plan.json', 'plan.json', 'plan.json']);
  });

  it('a hurt row is told with its line', async () => {
    const folder = newFolder();
    const broken: BrokenRow[] = [];
    await writeFile(
      join(folder, 'log.csv'),
      'entry,at,made_at,who,where,log,json,replaces\r\n0,yesterday,,,,note,{},\r\n',
    );
    expect(await readLog(folder, (each) => broken.push(each))).toEqual([]);
    expect(broken).toEqual([{ file: 'log.csv', line: 2, text: "Its at cannot be 'yesterday'." }]);
  });
});
