import { readFile, truncate, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Archive, BrokenRow } from '../../collector/archive/archive.ts';
import { readReadings } from '../../collector/archive/read.ts';
import { recordedAlerts, recoveredInputs } from '../../collector/archive/recover.ts';
import { openExisting } from '../../collector/archive/write.ts';
import type { CoreInput, ReadingInput } from '../../collector/core/inputs.ts';
import { parseLogEntry } from '../../protocol/log-entries.ts';
import {
  begin,
  captureOf,
  collect,
  folders,
  HELLO,
  hastyDisk,
  helloRow,
  logRow,
  readingInput,
  readingOutput,
  STARTED_AT,
} from './sample.ts';

const newFolder = folders();

const hello = (at: number): CoreInput => ({ kind: 'hello', at, hello: HELLO });

function logged(at: number, json: Record<string, unknown>): CoreInput {
  const log = parseLogEntry(json);
  if (!log) throw new Error('the sample is an entry');
  return { kind: 'log', at, log };
}

/** Hands to the archive what the collector would on these inputs. */
function write(archive: Archive, inputs: CoreInput[]): void {
  for (const input of inputs) {
    if (input.kind === 'reading') {
      archive.capture(captureOf(input));
      archive.readings(readingOutput(input));
    } else if (input.kind === 'hello') archive.log(helloRow(input.at, input.hello));
    else if (input.kind === 'log') archive.log(logRow(input.at, { ...input.log.entry }));
  }
}

/** `s` seconds after the start. */
const at = (s: number) => STARTED_AT + s * 1000;

describe('the inputs of the core out of the archive', () => {
  it('come in the order in which they were taken', async () => {
    const inputs: CoreInput[] = [
      logged(at(-5), { log: 'plan', name: 'spring' }),
      hello(at(-1)),
      readingInput(0),
      logged(at(0.5), { log: 'light-up' }),
      readingInput(1),
      readingInput(4, { at: at(4) }),
      readingInput(2, { late: true }),
      readingInput(3, { late: true }),
      logged(at(4.5), { log: 'salt', hole: 'left', colour: 'unknown field' }),
      // At equal times the entry comes first.
      logged(at(5), { log: 'a word of a later version' }),
      readingInput(5),
      logged(at(7), { log: 'undo', id: 'x' }),
    ];
    const { archive } = await begin(newFolder());
    write(archive, inputs);
    await archive.close();
    expect(await collect(recoveredInputs(archive.folder))).toEqual(inputs);
  });

  it('leave out alerts and what the archive said of itself', async () => {
    const { archive } = await begin(newFolder());
    const alert = { name: 'stall', state: 'raised', probe: null, priority: 'look-soon', text: 'It stalls.' };
    archive.log(helloRow(at(0)));
    archive.log(logRow(at(1), alert, { log: 'alert' }));
    archive.log(logRow(at(1), { text: 'full' }, { log: 'trouble' }));
    await archive.close();
    expect(await collect(recoveredInputs(archive.folder))).toEqual([hello(at(0))]);
    expect(await recordedAlerts(archive.folder)).toEqual([{ kind: 'alert', at: at(1), ...alert }]);
  });

  it('name a board before its readings whatever the times say', async () => {
    const { archive } = await begin(newFolder());
    write(archive, [
      logged(at(0), { log: 'light-up' }),
      hello(at(3)),
      logged(at(4), { log: 'note', note: 'x' }),
    ]);
    write(archive, [readingInput(1)]);
    await archive.close();
    const kinds = (await collect(recoveredInputs(archive.folder))).map(({ kind }) => kind);
    expect(kinds).toEqual(['log', 'hello', 'reading', 'log']);
  });

  it('tell what is hurt, and go on', async () => {
    const { archive } = await begin(newFolder());
    archive.log(logRow(at(0), { board: 5 }, { log: 'hello' }));
    write(archive, [hello(at(0)), readingInput(1)]);
    await archive.close();
    const broken: BrokenRow[] = [];
    const inputs = await collect(recoveredInputs(archive.folder, (row) => broken.push(row)));
    expect(inputs.map(({ kind }) => kind)).toEqual(['hello', 'reading']);
    expect(broken).toEqual([{ file: 'log.csv', line: 2, text: expect.stringMatching(/hello/) }]);
  });

  it('are none for a folder without files', async () => {
    expect(await collect(recoveredInputs(newFolder()))).toEqual([]);
  });

  it('come in the same order for any live order that the pipeline can make', async () => {
    // A step of live time: an on-time reading, or an entry between two; late readings directly behind an on-time one.
    const step = fc.record({
      entry: fc.boolean(),
      sameTime: fc.boolean(),
      late: fc.nat(3),
      gapS: fc.integer({ min: 4, max: 9 }),
    });
    await fc.assert(
      fc.asyncProperty(fc.array(step, { maxLength: 15 }), async (steps) => {
        const inputs: CoreInput[] = [hello(at(-1))];
        let seq = 0;
        for (const { entry, sameTime, late, gapS } of steps) {
          const before = seq;
          seq += gapS;
          if (entry) inputs.push(logged(sameTime ? at(seq) : at(seq) - 1, { log: 'note', note: `${seq}` }));
          inputs.push(readingInput(seq));
          for (let i = 1; i <= late; i++) inputs.push(readingInput(before + i, { late: true }));
        }
        const { archive } = await begin(newFolder(), {}, hastyDisk);
        write(archive, inputs);
        await archive.close();
        expect(await collect(recoveredInputs(archive.folder))).toEqual(inputs);
      }),
      { numRuns: 40 },
    );
  });
});

describe('a last reading of which only some rows are left', () => {
  async function tornFiring(captured: (reading: ReadingInput) => string) {
    const { archive } = await begin(newFolder());
    write(archive, [hello(at(-1)), readingInput(0)]);
    archive.capture(captured(readingInput(1)));
    archive.capture('2031-03-08T12:00:02.000Z > $L,0*D1B3');
    archive.readings(readingOutput(readingInput(1)));
    await archive.close();
    const path = join(archive.folder, 'readings.csv');
    await truncate(path, (await readFile(path)).length - 10);
    return archive.folder;
  }

  const last = async (folder: string) => (await collect(recoveredInputs(folder))).at(-1);

  it('is completed out of the raw link, and its lost row is written once', async () => {
    const folder = await tornFiring(captureOf);
    const again = await openExisting(folder, { onTrouble: () => undefined });
    expect(await last(folder)).toEqual(readingInput(1));
    for (const input of await collect(recoveredInputs(folder))) {
      if (input.kind === 'reading') again.complete(readingOutput(input));
    }
    await again.flush();
    // The board may send it once more: still no row stands there twice.
    again.readings(readingOutput(readingInput(1, { late: true })));
    again.readings(readingOutput(readingInput(2)));
    await again.close();
    const rows = await collect(readReadings(folder));
    expect(rows.map(({ arrival, seq, probe, raw }) => [arrival, seq, probe, raw])).toEqual([
      [0, 0, 'low', 30_000],
      [1, 0, 'high', 9000.25],
      [2, 1, 'low', 30_001],
      [3, 1, 'high', 9000.25],
      [4, 2, 'low', 30_002],
      [5, 2, 'high', 9000.25],
    ]);
    expect((await collect(recoveredInputs(folder))).slice(1)).toEqual(
      [0, 1, 2].map((seq) => readingInput(seq)),
    );
  });

  it.each([
    ['the raw link does not have it', () => '2031-03-08T12:00:01.000Z # nothing'],
    ['it was sent', (reading: ReadingInput) => captureOf(reading).replace(' < ', ' > ')],
    ['the line is bad', (reading: ReadingInput) => captureOf(reading).replace('9000', '9001')],
    ['another boot took it', (reading: ReadingInput) => captureOf({ ...reading, uptimeMs: 7 })],
    [
      'the values are not its',
      (reading: ReadingInput) =>
        captureOf({ ...reading, values: reading.values.map(({ probe }) => ({ probe, raw: 1 })) }),
    ],
    [
      'there are more values',
      (reading: ReadingInput) =>
        captureOf({ ...reading, values: [...reading.values, { probe: 'x', raw: 1 }] }),
    ],
  ])('stays as it is where %s', async (_, captured) => {
    const folder = await tornFiring(captured);
    expect(await last(folder)).toEqual(readingInput(1, { values: [{ probe: 'low', raw: 30_001 }] }));
  });

  it('stays as it is where there is no raw link at all', async () => {
    const folder = await tornFiring(captureOf);
    await writeFile(join(folder, 'link.capture'), '');
    expect(await last(folder)).toEqual(readingInput(1, { values: [{ probe: 'low', raw: 30_001 }] }));
  });
});
