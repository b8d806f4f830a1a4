import { existsSync } from 'node:fs';
import { mkdir, readdir, readFile, rename, rm, symlink, unlink, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { localDate, safeName } from '../../collector/archive/folder-name.ts';
import { ongoingFiring } from '../../collector/archive/ongoing.ts';
import { readLog, readPlan, readReadings } from '../../collector/archive/read.ts';
import { NOTHING_YET } from '../../collector/archive/standing.ts';
import { createFiring, openExisting } from '../../collector/archive/write.ts';
import { readingsMetadata } from '../../protocol/archive-metadata.ts';
import { defaultPlan } from '../../protocol/plan.ts';
import { failingDisk, working } from './failing-disk.ts';
import {
  begin,
  collect,
  folders,
  HELLO,
  logRow,
  readingInput,
  readingOutput,
  STARTED_AT,
  textOf,
} from './sample.ts';

const newFolder = folders();

describe('the folder of a firing', () => {
  it('is called by its date and name, a second one of the day by a number behind them', async () => {
    const data = join(newFolder(), 'not', 'there', 'yet');
    const date = localDate(STARTED_AT);
    const ids: string[] = [];
    for (const name of ['Spring', 'spring!', 'spring']) {
      const { archive } = await begin(data, { name });
      ids.push(archive.id);
      await archive.close();
    }
    expect(ids).toEqual([`${date}-spring`, `${date}-spring-2`, `${date}-spring-3`]);
    expect((await readdir(data)).sort()).toEqual([...ids].sort());
  });

  it('has the files that the house names, with their headers, from the start', async () => {
    const { archive } = await begin(newFolder());
    expect((await readdir(archive.folder)).sort()).toEqual([
      'link.capture',
      'log.csv',
      'plan.json',
      'readings.csv',
      'readings.csv-metadata.json',
    ]);
    expect(await textOf(archive, 'link.capture')).toBe('spyhole-capture 1\n');
    expect(await textOf(archive, 'log.csv')).toBe('entry,at,made_at,who,where,log,json,replaces\r\n');
    expect(await textOf(archive, 'readings.csv')).toMatch(/^arrival,time,.*,late,flags\r\n$/);
    expect(JSON.parse(await textOf(archive, 'readings.csv-metadata.json'))).toEqual(
      readingsMetadata('spring'),
    );
    expect(await readPlan(archive.folder)).toEqual({
      plan: defaultPlan(),
      boards: [],
      startedAt: STARTED_AT,
      source: 'board',
    });
    await archive.close();
  });

  it.each([
    ['../../etc/passwd', 'etc-passwd'],
    ['..', 'firing'],
    ['', 'firing'],
    ['  Anna’s  2nd (salt)  ', 'anna-s-2nd-salt'],
    ['C:\\kiln\\CON', 'c-kiln-con'],
    ['Frühling', 'frühling'],
    ['Fru\u0308hling', 'frühling'],
    ['春の窯', '春の窯'],
    ['🔥🔥', 'firing'],
    ['a\0b\nc', 'a-b-c'],
    ['trailing. ', 'trailing'],
  ])('the name %j becomes %j', (name, safe) => {
    expect(safeName(name)).toBe(safe);
  });

  it("is dated by the wall calendar of the computer's own time zone", () => {
    for (const hour of [0, 12, 23])
      expect(localDate(new Date(2031, 2, 8, hour, 30).getTime())).toBe('2031-03-08');
  });

  it('whatever the name, it is one part of a path, short enough, and nothing that a system forbids', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 300 }), (name) => {
        const safe = safeName(name);
        expect(safe).toMatch(/^[\p{L}\p{N}][-\p{L}\p{N}\p{M}]*$/u);
        expect(Buffer.byteLength(safe)).toBeLessThanOrEqual(120);
      }),
    );
  });

  it('tells what to do when it cannot be made', async () => {
    const file = join(newFolder(), 'a-file');
    await writeFile(file, '');
    await expect(begin(join(file, 'data'))).rejects.toThrow(/--data DIR/);
  });
});

describe('what is handed in', () => {
  it('becomes rows, one a probe, counted by arrival', async () => {
    const { archive, troubles } = await begin(newFolder());
    archive.readings(readingOutput(readingInput(0)));
    archive.readings(
      readingOutput(readingInput(1, { late: true, values: [{ probe: 'low', raw: '!open' }] })),
    );
    archive.readings(
      readingOutput(readingInput(2, { coldJunctionC: null, values: [{ probe: 'low', raw: null }] })),
    );
    await archive.close();
    const lines = (await textOf(archive, 'readings.csv')).split('\r\n');
    expect(lines.slice(1)).toEqual([
      '0,2031-03-08T12:00:00.000Z,shed-1,9F00C2A1,0,0,18.5,low,30000,700.00,699.50,0.00,1.25,cone 06,climbing,0,',
      '1,2031-03-08T12:00:00.000Z,shed-1,9F00C2A1,0,0,18.5,high,9000.25,701.00,700.50,0.00,1.25,,climbing,0,',
      '2,2031-03-08T12:00:01.000Z,shed-1,9F00C2A1,1,1000,18.5,low,!open,700.00,699.50,0.00,1.25,cone 06,climbing,1,',
      '3,2031-03-08T12:00:02.000Z,shed-1,9F00C2A1,2,2000,,low,,700.00,699.50,0.00,1.25,cone 06,climbing,0,',
      '',
    ]);
    expect(troubles).toEqual([]);
  });

  it('keeps the name that a probe has on its board, and a value that the core made nothing of', async () => {
    const { archive } = await begin(newFolder());
    const output = readingOutput(readingInput(0));
    const [low] = output.rows;
    if (!low) throw new Error('the sample has rows');
    archive.readings({ ...output, rows: [{ ...low, probe: 'shed-1 low', tempC: 555 }] });
    await archive.close();
    const rows = await collect(readReadings(archive.folder));
    expect(rows.map(({ probe, raw, tempC }) => [probe, raw, tempC])).toEqual([
      ['low', 30_000, 555],
      ['high', 9000.25, null],
    ]);
  });

  it('log entries have their number at once, and captures one line each', async () => {
    const { archive } = await begin(newFolder());
    const numbers = ['stoke', 'note'].map((log) => archive.log(logRow(STARTED_AT, { log, note: 'a\r\nb' })));
    archive.capture('2031-03-08T12:00:00.000Z # two\nlines');
    await archive.flush();
    expect(numbers).toEqual([0, 1]);
    expect((await readLog(archive.folder)).map(({ entry, log }) => [entry, log])).toEqual([
      [0, 'stoke'],
      [1, 'note'],
    ]);
    expect(await textOf(archive, 'link.capture')).toBe(
      'spyhole-capture 1\n2031-03-08T12:00:00.000Z # two lines\n',
    );
    await archive.close();
  });

  it('reaches the disk by itself', async () => {
    const { archive } = await begin(newFolder());
    archive.readings(readingOutput(readingInput(0)));
    await expect.poll(() => textOf(archive, 'readings.csv'), { timeout: 20_000 }).toMatch(/high,9000\.25/);
    await archive.close();
  });

  it('a new plan takes the place of plan.json, and nothing of the way there is left over', async () => {
    const { archive } = await begin(newFolder());
    const file = {
      plan: { ...defaultPlan(), topC: 1250 },
      boards: [HELLO],
      startedAt: STARTED_AT,
      source: 'demo' as const,
    };
    archive.plan(file);
    await archive.close();
    expect(await readPlan(archive.folder)).toEqual(file);
    expect(await readdir(archive.folder)).not.toContain('plan.json.new');
  });

  it('goes to the raw link first, then the log, then the readings; never two writes at once to one file', async () => {
    const disk = failingDisk();
    const { archive } = await begin(newFolder(), {}, disk);
    const order: string[] = [];
    disk.plan.open = (path) => {
      order.push(path.split('/').at(-1) ?? '');
      return null;
    };
    archive.readings(readingOutput(readingInput(0)));
    archive.log(logRow(STARTED_AT, { log: 'light-up' }));
    archive.capture('x');
    await Promise.all([archive.flush(), archive.flush(), archive.flush()]);
    await archive.close();
    expect(order).toEqual(['link.capture', 'log.csv', 'readings.csv']);
    expect(disk.mostOpen).toBe(1);
  });

  it('is taken no more after the end', async () => {
    const { archive } = await begin(newFolder());
    await archive.close();
    const before = await textOf(archive, 'readings.csv');
    archive.readings(readingOutput(readingInput(0)));
    await archive.flush();
    expect(await textOf(archive, 'readings.csv')).toBe(before);
  });
});

describe('a disk in trouble', () => {
  it('is told about once, with what to do; then all is written, and that is told too', async () => {
    const disk = failingDisk();
    const { archive, troubles } = await begin(newFolder(), {}, disk);
    const path = join(archive.folder, 'readings.csv');
    const room = [150];
    disk.plan.write = () => room.shift() ?? 'ENOSPC';
    for (let seq = 0; seq < 3; seq++) {
      archive.readings(readingOutput(readingInput(seq)));
      await archive.flush();
    }
    expect(troubles).toEqual(['The disk is full: readings are kept in memory for now. Free some space.']);
    expect(disk.files.get(path)?.toString()).toMatch(/flags\r\n$/);
    disk.plan = working();
    await archive.flush();
    expect(troubles).toEqual([expect.any(String), null]);
    const rows = disk.files.get(path)?.toString().split('\r\n') ?? [];
    expect(rows.slice(1, -1).map((row) => row.split(',')[0])).toEqual(['0', '1', '2', '3', '4', '5']);
    await archive.close();
  });

  it('keeps what it has when the firing is closed, and says so, until the disk takes it', async () => {
    const disk = failingDisk();
    const { archive } = await begin(newFolder(), {}, disk);
    disk.plan.write = () => 'ENOSPC';
    archive.log(logRow(STARTED_AT, { log: 'stoke', hole: 'left' }));
    expect(await archive.close()).toBe(false);
    disk.plan = working();
    expect(await archive.close()).toBe(true);
    expect(String(disk.files.get(join(archive.folder, 'log.csv')))).toContain('stoke');
  });

  it('says so when the newest readings had to be given up, and counts the rest without a hole', async () => {
    const disk = failingDisk();
    const troubles: (string | null)[] = [];
    const archive = ongoingFiring({
      folder: '/firing',
      disk,
      standing: NOTHING_YET,
      title: 'spring',
      memoryBytes: { 'link.capture': 1000, 'log.csv': 1000, 'readings.csv': 1000 },
      onTrouble: (text) => troubles.push(text),
    });
    disk.plan.write = () => 'ENOSPC';
    await archive.flush();
    for (let seq = 0; seq < 10; seq++) archive.readings(readingOutput(readingInput(seq)));
    expect(troubles).toEqual([
      'The disk is full: readings are kept in memory for now. Free some space.',
      'The disk is full and the memory too: the newest readings are given up. Free some space.',
    ]);
    disk.plan = working();
    await archive.flush();
    archive.readings(readingOutput(readingInput(10)));
    await archive.close();
    expect(troubles.slice(2)).toEqual([null]);
    const rows = disk.files.get('/firing/readings.csv')?.toString().split('\r\n').slice(1, -1) ?? [];
    const cells = rows.map((row) => row.split(','));
    expect(cells.map(([arrival]) => Number(arrival))).toEqual([0, 1, 2, 3, 4, 5, 6, 7, 8, 9]);
    // A reading of two probes is some 215 bytes here: four fit.
    expect(cells.map((row) => Number(row[4]))).toEqual([0, 0, 1, 1, 2, 2, 3, 3, 10, 10]);
  });

  it('one file that cannot be written holds up no other', async () => {
    const disk = failingDisk();
    const { archive, troubles } = await begin(newFolder(), {}, disk);
    disk.plan.open = (path) => (path.endsWith('log.csv') ? 'EBUSY' : null);
    archive.log(logRow(STARTED_AT, { log: 'light-up' }));
    archive.readings(readingOutput(readingInput(0)));
    await archive.flush();
    expect(troubles).toHaveLength(1);
    expect(troubles[0]).toMatch(/Close any other program/);
    expect(disk.files.get(join(archive.folder, 'readings.csv'))?.toString()).toMatch(/high/);
    await archive.close();
  });

  it('a full disk of the system itself (/dev/full)', async () => {
    const { archive, troubles } = await begin(newFolder());
    const path = join(archive.folder, 'readings.csv');
    await rename(path, `${path}.aside`);
    await symlink('/dev/full', path);
    archive.readings(readingOutput(readingInput(0)));
    await archive.flush();
    expect(troubles).toEqual(['The disk is full: readings are kept in memory for now. Free some space.']);
    await unlink(path);
    await rename(`${path}.aside`, path);
    await archive.close();
    expect(troubles).toEqual([expect.any(String), null]);
    expect(await collect(readReadings(archive.folder))).toHaveLength(2);
  });

  it('a folder that was deleted is not made again behind the back of an unplugged disk, but used once it is there', async () => {
    const { archive, troubles } = await begin(newFolder());
    archive.readings(readingOutput(readingInput(0)));
    await archive.flush();
    await rm(archive.folder, { recursive: true });
    archive.readings(readingOutput(readingInput(1)));
    await archive.flush();
    expect(existsSync(archive.folder)).toBe(false);
    expect(troubles).toEqual([
      `The firing's folder is gone: readings are kept in memory for now. Put it back, or make an empty folder there: ${archive.folder}`,
    ]);
    await mkdir(archive.folder);
    await archive.close();
    expect(troubles).toEqual([expect.any(String), null]);
    expect((await collect(readReadings(archive.folder))).map((row) => row.arrival)).toEqual([2, 3]);
    expect((await readdir(archive.folder)).sort()).toEqual([
      'link.capture',
      'log.csv',
      'plan.json',
      'readings.csv',
      'readings.csv-metadata.json',
    ]);
  });
});

describe('going on with a firing', () => {
  it('arrival and entry go on from the last row', async () => {
    const { archive } = await begin(newFolder());
    archive.readings(readingOutput(readingInput(0)));
    archive.log(logRow(STARTED_AT, { log: 'light-up' }));
    await archive.close();
    const troubles: (string | null)[] = [];
    const again = await openExisting(archive.folder, { onTrouble: (text) => troubles.push(text) });
    expect(again.id).toBe(archive.id);
    again.readings(readingOutput(readingInput(1)));
    expect(again.log(logRow(STARTED_AT + 1, { log: 'note', note: 'back' }))).toBe(1);
    again.capture('y');
    await again.close();
    expect((await collect(readReadings(archive.folder))).map((row) => row.arrival)).toEqual([0, 1, 2, 3]);
    expect((await readLog(archive.folder)).map((row) => row.entry)).toEqual([0, 1]);
    expect(await textOf(archive, 'link.capture')).toBe('spyhole-capture 1\ny\n');
    expect(troubles).toEqual([]);
  });

  it('begins on a disk that can only be read, and says so', async () => {
    const { archive } = await begin(newFolder());
    await archive.close();
    const disk = failingDisk();
    disk.plan.open = () => 'EROFS';
    const troubles: (string | null)[] = [];
    const again = await openExisting(archive.folder, { onTrouble: (text) => troubles.push(text) }, disk);
    expect(troubles).toEqual([
      'The disk can only be read: readings are kept in memory for now. Unlock it or put in another one.',
    ]);
    await again.close();
  });

  it('cannot go on with what cannot be read, and says what to do', async () => {
    const { archive } = await begin(newFolder());
    await archive.close();
    const path = join(archive.folder, 'log.csv');
    await rm(path);
    await mkdir(path);
    await expect(openExisting(archive.folder, { onTrouble: () => undefined })).rejects.toThrow(
      /begin a new firing/,
    );
  });

  it('makes the missing files anew', async () => {
    const folder = join(newFolder(), '2031-03-08-old');
    await mkdir(folder);
    const again = await openExisting(folder, { onTrouble: () => undefined });
    await again.close();
    expect(await readFile(join(folder, 'log.csv'), 'utf8')).toMatch(/^entry,/);
    expect(await readFile(join(folder, 'readings.csv'), 'utf8')).toMatch(/^arrival,/);
  });
});

it('two firings of the same moment do not meet in one folder', async () => {
  const dataFolder = newFolder();
  const start = {
    dataFolder,
    name: 'x',
    startedAt: STARTED_AT,
    plan: defaultPlan(),
    source: 'board' as const,
    onTrouble: () => undefined,
  };
  const both = await Promise.all([createFiring(start), createFiring(start)]);
  expect(new Set(both.map(({ id }) => id)).size).toBe(2);
  for (const archive of both) await archive.close();
});
