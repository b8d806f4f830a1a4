import { appendFile, mkdir, readFile, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { FiringStart } from '../../collector/archive/archive.ts';
import { createFiringList } from '../../collector/archive/firing-list.ts';
import { findRunning, lastSeen } from '../../collector/archive/firings.ts';
import { kilnTop } from '../../collector/archive/kiln-top.ts';
import { csvText, READINGS_HEADER, readingCells } from '../../collector/archive/row-text.ts';
import type { ReadingRow } from '../../collector/archive/rows.ts';
import { defaultPlan } from '../../protocol/plan.ts';
import { begin, folders, hastyDisk, logRow, readingInput, readingOutput, STARTED_AT } from './sample.ts';

const newFolder = folders();
const HOUR = 3_600_000;
const DAY = 24 * HOUR;

/** A firing whose readings are so hot, low and high alike, one a minute. */
async function firing(
  data: string,
  change: Partial<FiringStart>,
  smoothC: (number | null)[],
  opened: 'unbricked' | 'undone' | 'replaced' | null = null,
) {
  const startedAt = change.startedAt ?? STARTED_AT;
  const { archive } = await begin(data, change, hastyDisk);
  for (const [seq, level] of smoothC.entries()) {
    const output = readingOutput(readingInput(seq, { at: startedAt + seq * 60_000 }));
    archive.readings({ ...output, rows: output.rows.map((row) => ({ ...row, smoothC: level })) });
  }
  const end = startedAt + HOUR;
  if (opened !== null) {
    const entry = archive.log(logRow(end, { log: 'unbricked', id: 'u' }));
    if (opened === 'undone') archive.log(logRow(end + 1, { log: 'undo', id: 'u' }, { replaces: entry }));
    if (opened === 'replaced')
      archive.log(logRow(end + 1, { log: 'unbricked', id: 'v' }, { at: end - HOUR / 2, replaces: entry }));
  }
  await archive.close();
  return archive;
}

describe('the list of firings', () => {
  it('has the newest first, how hot each got, and when it began and ended', async () => {
    const data = newFolder();
    await firing(data, { name: 'spring' }, [1200, 1281.5, null, 900], 'unbricked');
    await firing(
      data,
      { name: 'Autumn', startedAt: STARTED_AT + 200 * DAY, plan: { ...defaultPlan(), name: 'Autumn!' } },
      [20],
    );
    await firing(data, { name: 'empty', startedAt: STARTED_AT - DAY }, []);
    await mkdir(join(data, 'no-firing'));
    await writeFile(join(data, 'readings.csv'), 'not a folder');
    const list = await createFiringList(data)();
    expect(list.map(({ id, ...rest }) => rest)).toEqual([
      { name: 'Autumn!', startedAt: STARTED_AT + 200 * DAY, endedAt: STARTED_AT + 200 * DAY, topC: 20 },
      { name: 'firing', startedAt: STARTED_AT, endedAt: STARTED_AT + HOUR, topC: 1281.5 },
      { name: 'firing', startedAt: STARTED_AT - DAY, endedAt: null, topC: null },
    ]);
    expect(list.map(({ id }) => id.slice('2031-03-08-'.length))).toEqual(['autumn', 'spring', 'empty']);
  });

  it('goes by what the files hold where plan.json is gone', async () => {
    const data = newFolder();
    const { folder, id } = await firing(data, {}, [100, 200]);
    await rm(join(folder, 'plan.json'));
    expect(await createFiringList(data)()).toEqual([
      { id, name: id, startedAt: STARTED_AT, endedAt: STARTED_AT + 60_000, topC: 200 },
    ]);
  });

  it('takes in what was added since it was last asked for, and what was changed', async () => {
    const data = newFolder();
    const list = createFiringList(data);
    const { folder } = await firing(data, {}, [100, 200]);
    expect((await list())[0]?.topC).toBe(200);
    const path = join(folder, 'readings.csv');
    const text = await readFile(path, 'utf8');
    await appendFile(
      path,
      text.split('\r\n').at(-2)?.replaceAll('200.00', '300.00').replace(',1,', ',2,').concat('\r\n') ?? '',
    );
    expect((await list())[0]?.topC).toBe(300);
    await writeFile(path, text.replaceAll('200.00', '150.00'));
    expect((await list())[0]?.topC).toBe(150);
    await rm(folder, { recursive: true });
    expect(await list()).toEqual([]);
  });

  it('is empty where there is no data folder, and can be asked for twice at once', async () => {
    const data = newFolder();
    expect(await createFiringList(join(data, 'none'))()).toEqual([]);
    await firing(data, {}, [100]);
    const list = createFiringList(data);
    const [one, two] = await Promise.all([list(), list()]);
    expect(one).toEqual(two);
    expect(one).toHaveLength(1);
  });
});

describe('how hot the kiln got', () => {
  const row = (
    seq: number,
    probe: string,
    smoothC: number | null,
    change: Partial<ReadingRow> = {},
  ): ReadingRow => ({
    arrival: 0,
    at: 0,
    board: 'shed-1',
    boot: '9F00C2A1',
    seq,
    uptimeMs: 0,
    coldJunctionC: null,
    probe,
    raw: null,
    tempC: null,
    smoothC,
    climbCPerH: null,
    climbSdCPerH: null,
    cone: null,
    stage: 'before',
    late: false,
    flags: [],
    ...change,
  });
  const rows = [
    row(0, 'low', 1000),
    row(0, 'high', 1100),
    row(1, 'low', 1001),
    row(1, 'high', null),
    row(2, 'low', 1300, { late: true }),
    row(3, 'low', 900),
    row(3, 'high', 1210),
  ];
  const lines = Buffer.from(READINGS_HEADER + csvText(rows.map(readingCells)));

  it.each([
    ['the mean of the probes', null, 1055],
    ['the guide, and the mean where it has none', 'high', 1210],
    ['another guide', 'low', 1001],
  ])('is by %s; late readings do not count', (_, guide, topC) => {
    const top = kilnTop(guide);
    top.add(lines);
    expect(top.topC()).toBe(topC);
  });

  it('is the same in pieces', () => {
    const top = kilnTop('high');
    let start = 0;
    for (let end = lines.indexOf(10) + 1; end > 0; end = lines.indexOf(10, start) + 1) {
      top.add(lines.subarray(start, end));
      start = end;
    }
    expect(top.topC()).toBe(1210);
  });

  it('leaves out a probe that drifts, be it the guide, while another speaks', () => {
    const drifts = [
      row(0, 'low', 1000, { tempC: 1000, flags: ['drift'] }),
      row(0, 'high', 1100, { tempC: 1100 }),
      // Without a temperature there is no flag: it drifts all the same.
      row(1, 'low', 1300, { tempC: null }),
      row(1, 'high', 1150, { tempC: 1150 }),
      row(2, 'low', 1120, { tempC: 1120, flags: ['drift'] }),
      row(2, 'high', null),
    ];
    for (const guide of [null, 'low', 'high']) {
      const top = kilnTop(guide);
      top.add(Buffer.from(csvText(drifts.map(readingCells))));
      expect(top.topC()).toBe(1150);
    }
    const alone = kilnTop(null);
    alone.add(Buffer.from(csvText(drifts.slice(4).map(readingCells))));
    expect(alone.topC()).toBe(1120);
  });

  it('leaves out lines that are none of ours', () => {
    const top = kilnTop(null);
    top.add(Buffer.from('9999,9999\r\n\0\0\n,,,,,,,,,,,,,,,,\r\n'));
    expect(top.topC()).toBeNull();
  });
});

describe('the firing that is still going on', () => {
  it('is the newest of a board that was heard of within two days', async () => {
    const data = newFolder();
    await firing(data, { name: 'old', startedAt: STARTED_AT - 3 * DAY }, [1]);
    const { id } = await firing(data, { name: 'new' }, [1, 2]);
    await firing(data, { name: 'demo', source: 'demo', startedAt: STARTED_AT + 1000 }, [1]);
    await firing(data, { name: 'played', source: 'capture', startedAt: STARTED_AT + 1000 }, [1]);
    const last = STARTED_AT + 60_000;
    expect(await findRunning(data, last)).toBe(id);
    expect(await findRunning(data, last + 48 * HOUR)).toBe(id);
    expect(await findRunning(data, last + 48 * HOUR + 1)).toBeNull();
    // A computer without a battery for its clock may wake up a little in the past.
    expect(await findRunning(data, last - HOUR)).toBe(id);
  });

  it.each([
    ['unbricked', false],
    ['undone', true],
    ['replaced', false],
  ] as const)('%s: goes on is %s', async (opened, goesOn) => {
    const data = newFolder();
    const { id } = await firing(data, {}, [1], opened);
    expect(await findRunning(data, STARTED_AT + HOUR)).toBe(goesOn ? id : null);
  });

  it('goes by the log where it is later than the readings, and by plan.json where there is neither', async () => {
    const data = newFolder();
    const { archive } = await begin(data, {}, hastyDisk);
    expect(await lastSeen(archive.folder)).toBeNull();
    expect(await findRunning(data, STARTED_AT + HOUR)).toBe(archive.id);
    archive.log(logRow(STARTED_AT + 5 * DAY, { log: 'note', note: 'still warm' }));
    await archive.close();
    expect(await findRunning(data, STARTED_AT + 6 * DAY)).toBe(archive.id);
    expect(await lastSeen(archive.folder)).toBe(STARTED_AT + 5 * DAY);
  });

  it('is none where the newest has been unbricked, though nobody logged the end of one before it', async () => {
    const data = newFolder();
    const older = await firing(data, { startedAt: STARTED_AT, name: 'older' }, [1], 'undone');
    expect(await findRunning(data, STARTED_AT + HOUR)).toBe(older.id);
    await firing(data, { startedAt: STARTED_AT + HOUR, name: 'newer' }, [1], 'unbricked');
    expect(await findRunning(data, STARTED_AT + 2 * HOUR)).toBeNull();
  });

  it('is none where there is no data folder, or only a torn beginning of one', async () => {
    const data = newFolder();
    expect(await findRunning(join(data, 'none'), STARTED_AT)).toBeNull();
    const { folder } = await firing(data, {}, []);
    await writeFile(join(folder, 'plan.json'), '{"plan":');
    expect(await findRunning(data, STARTED_AT)).toBeNull();
  });
});
