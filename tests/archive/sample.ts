/** What the archive's tests write and read: an invented board with two couples on its second day of use. */
import { mkdtempSync, rmSync } from 'node:fs';
import { readFile, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach } from 'vitest';
import type { Archive, FiringStart } from '../../collector/archive/archive.ts';
import { type Disk, systemDisk } from '../../collector/archive/disk.ts';
import type { LogRow } from '../../collector/archive/rows.ts';
import { createFiring } from '../../collector/archive/write.ts';
import type { ReadingInput, ReadingOutput } from '../../collector/core/inputs.ts';
import type { Hello } from '../../protocol/board-lines.ts';
import { formatBoardLine } from '../../protocol/board-lines.ts';
import { formatCaptureLine } from '../../protocol/capture.ts';
import { defaultPlan } from '../../protocol/plan.ts';

export const STARTED_AT = Date.UTC(2031, 2, 8, 12);

export const HELLO: Hello = {
  board: 'shed-1',
  boot: '9F00C2A1',
  periodMs: 1000,
  keeps: 3600,
  probes: [
    { name: 'low', couple: 'K', form: { kind: 'uv' } },
    { name: 'high', couple: 'S', form: { kind: 'uv' } },
  ],
};

/** Reading `seq`, one a second. */
export function readingInput(seq: number, change: Partial<ReadingInput> = {}): ReadingInput {
  return {
    kind: 'reading',
    at: STARTED_AT + seq * 1000,
    board: HELLO.board,
    boot: HELLO.boot,
    seq,
    uptimeMs: seq * 1000,
    coldJunctionC: 18.5,
    values: [
      { probe: 'low', raw: 30_000 + seq },
      { probe: 'high', raw: 9000.25 },
    ],
    late: false,
    ...change,
  };
}

/** What the core might make of it. */
export function readingOutput(input: ReadingInput): ReadingOutput {
  const rows = input.values.map(({ probe, raw }, i) => ({
    probe,
    raw,
    tempC: 700 + i,
    smoothC: 699.5 + i,
    climbCPerH: -0.001,
    climbSdCPerH: 1.25,
    cone: i === 0 ? '06' : null,
    fault: null,
    coneShift: null,
    note: null,
    flags: [],
  }));
  return {
    kind: 'reading',
    input,
    stage: 'climbing',
    rows,
    kiln: { smoothC: 700, climbCPerH: 0, climbSdCPerH: 1 },
  };
}

/** The line of link.capture that the reading came on. */
export function captureOf({ at, seq, uptimeMs, coldJunctionC, values }: ReadingInput): string {
  const text = formatBoardLine({
    kind: 'reading',
    seq,
    uptimeMs,
    coldJunctionC,
    values: values.map(({ raw }) => raw),
  });
  return formatCaptureLine({ at, direction: '<', link: '', text });
}

/** Something logged at `madeAt`. */
export function logRow(
  madeAt: number,
  json: Record<string, unknown>,
  change: Partial<LogRow> = {},
): Omit<LogRow, 'entry'> {
  return {
    at: madeAt,
    madeAt,
    who: 'Ada',
    where: 'page',
    log: String(json.log ?? ''),
    json,
    replaces: null,
    ...change,
  };
}

export function helloRow(madeAt: number, hello: Hello = HELLO): Omit<LogRow, 'entry'> {
  return logRow(madeAt, { ...hello }, { who: '', where: 'collector', log: 'hello' });
}

/** The system's disk without its slowest part, for tests that open hundreds of firings: nothing is synced. */
export const hastyDisk: Disk = {
  ...systemDisk,
  grow: async (path) => ({ ...(await systemDisk.grow(path)), sync: async () => undefined }),
  replace: writeFile,
};

/** A folder of its own for the test that asks, gone after it. */
export function folders(): () => string {
  const made: string[] = [];
  afterEach(() => {
    for (const path of made.splice(0)) rmSync(path, { recursive: true, force: true });
  });
  return () => {
    const path = mkdtempSync(join(tmpdir(), 'firing-'));
    made.push(path);
    return path;
  };
}

/** A new firing in `dataFolder`, and what it said of trouble. */
export async function begin(
  dataFolder: string,
  change: Partial<FiringStart> = {},
  disk?: Disk,
): Promise<{ archive: Archive; troubles: (string | null)[] }> {
  const troubles: (string | null)[] = [];
  const start: FiringStart = {
    dataFolder,
    name: 'spring',
    startedAt: STARTED_AT,
    plan: defaultPlan(),
    source: 'board',
    onTrouble: (text) => troubles.push(text),
    ...change,
  };
  return { archive: await createFiring(start, disk), troubles };
}

export const textOf = (archive: Archive, name: string) => readFile(join(archive.folder, name), 'utf8');

export async function collect<Item>(batches: AsyncIterable<Item[]>): Promise<Item[]> {
  const all: Item[] = [];
  for await (const batch of batches) all.push(...batch);
  return all;
}
