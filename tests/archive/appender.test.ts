import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createAppender } from '../../collector/archive/appender.ts';
import { failingDisk, working } from './failing-disk.ts';

const PATH = '/firing/readings.csv';
const HEADER = 'a,b\r\n';

const appenderOn = (disk: ReturnType<typeof failingDisk>, memoryBytes = 10_000) =>
  createAppender({ disk, path: PATH, header: HEADER, memoryBytes, torn: null });

/** What a disk may do wrong, one operation after the other. */
const misfortune = fc.record({
  writes: fc.array(fc.oneof(fc.integer({ min: 1, max: 40 }), fc.constantFrom('ENOSPC', 'EIO')), {
    maxLength: 6,
  }),
  syncs: fc.array(fc.constantFrom('EIO', null), { maxLength: 3 }),
  truncates: fc.array(fc.constantFrom('EIO', null), { maxLength: 3 }),
  opens: fc.array(fc.constantFrom('EACCES', null), { maxLength: 3 }),
});

describe('a file that only grows', () => {
  it('begins with its header, once', async () => {
    const disk = failingDisk();
    const appender = appenderOn(disk);
    expect(appender.unsettled()).toBe(true);
    await appender.write(true);
    expect(disk.files.get(PATH)?.toString()).toBe(HEADER);
    appender.add('1,2\r\n');
    await appender.write(true);
    await appender.write(true);
    expect(disk.synced.get(PATH)?.toString()).toBe(`${HEADER}1,2\r\n`);
    expect(appender.unsettled()).toBe(false);
  });

  it('after any misfortune holds every row once, in order, and never a torn row for longer than the trouble', async () => {
    const work = fc.array(
      fc.record({
        rows: fc.array(fc.integer({ min: 0, max: 9999 }), { maxLength: 4 }),
        sync: fc.boolean(),
        misfortune,
      }),
      { maxLength: 8 },
    );
    await fc.assert(
      fc.asyncProperty(work, async (steps) => {
        const disk = failingDisk();
        const appender = appenderOn(disk);
        const given: string[] = [];
        for (const { rows, sync, misfortune: told } of steps) {
          const bad = structuredClone(told);
          for (const row of rows) {
            const text = `${given.length},${row}\r\n`;
            given.push(text);
            expect(appender.add(text)).toBe(true);
          }
          disk.plan = {
            write: (asked) => {
              const next = bad.writes.shift() ?? asked;
              return typeof next === 'number' ? Math.min(next, asked) : next;
            },
            sync: () => bad.syncs.shift() ?? null,
            truncate: () => bad.truncates.shift() ?? null,
            open: () => bad.opens.shift() ?? null,
          };
          await appender.write(sync).catch(() => null);
        }
        disk.plan = working();
        await appender.write(true);
        expect(disk.files.get(PATH)?.toString()).toBe(HEADER + given.join(''));
        expect(disk.synced.get(PATH)?.toString()).toBe(HEADER + given.join(''));
        expect(appender.unsettled()).toBe(false);
      }),
      { numRuns: 300 },
    );
  });

  it('keeps the rows that fitted on a full disk, and cuts the torn one off', async () => {
    const disk = failingDisk();
    const appender = appenderOn(disk);
    for (const row of ['11,11\r\n', '22,22\r\n', '33,33\r\n']) appender.add(row);
    const room = [HEADER.length + 7 + 3, 'ENOSPC'];
    disk.plan.write = (asked) => room.shift() ?? asked;
    await expect(appender.write(false)).rejects.toMatchObject({ code: 'ENOSPC' });
    expect(disk.files.get(PATH)?.toString()).toBe(`${HEADER}11,11\r\n`);
    await appender.write(true);
    expect(disk.files.get(PATH)?.toString()).toBe(`${HEADER}11,11\r\n22,22\r\n33,33\r\n`);
  });

  it('does not believe what a failed sync may have lost: it is written again', async () => {
    const disk = failingDisk();
    const appender = appenderOn(disk);
    appender.add('1,1\r\n');
    await appender.write(true);
    appender.add('2,2\r\n');
    await appender.write(false);
    appender.add('3,3\r\n');
    disk.plan.sync = () => 'EIO';
    await expect(appender.write(true)).rejects.toMatchObject({ code: 'EIO' });
    disk.plan = working();
    let written = 0;
    disk.plan.write = (asked) => {
      written += asked;
      return asked;
    };
    await appender.write(true);
    expect(written).toBe('2,2\r\n3,3\r\n'.length);
    expect(disk.files.get(PATH)?.toString()).toBe(`${HEADER}1,1\r\n2,2\r\n3,3\r\n`);
  });

  it('takes no more than its memory holds, and the oldest stay', async () => {
    const disk = failingDisk();
    const appender = appenderOn(disk, 12);
    expect([appender.add('1,11\r\n'), appender.add('2,22\r\n'), appender.add('3,33\r\n')]).toEqual([
      true,
      true,
      false,
    ]);
    await appender.write(true);
    expect(disk.files.get(PATH)?.toString()).toBe(`${HEADER}1,11\r\n2,22\r\n`);
    expect(appender.add('4,44\r\n')).toBe(true);
  });

  it('never glues a row to a line that somebody left without its end', async () => {
    const disk = failingDisk();
    const appender = appenderOn(disk);
    appender.add('1,1\r\n');
    await appender.write(true);
    disk.files.set(PATH, Buffer.from(`${HEADER}1,1 by hand`));
    appender.add('2,2\r\n');
    await appender.write(true);
    expect(disk.files.get(PATH)?.toString()).toBe(`${HEADER}1,1 by hand\r\n2,2\r\n`);
  });

  it('begins anew, with what was not yet synced, where the file was taken away', async () => {
    const disk = failingDisk();
    const appender = appenderOn(disk);
    appender.add('1,1\r\n');
    await appender.write(false);
    disk.files.delete(PATH);
    appender.add('2,2\r\n');
    await appender.write(true);
    expect(disk.files.get(PATH)?.toString()).toBe(`${HEADER}1,1\r\n2,2\r\n`);
  });
});
