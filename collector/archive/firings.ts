/** The firings in a data folder: which there are, how hot they got, and which one is still going on. */
import { readdir, stat } from 'node:fs/promises';
import { join, resolve } from 'node:path';
import { HOUR_MS } from '../../protocol/units.ts';
import type { FiringOnDisk } from './archive.ts';
import { type KilnTop, kilnTop } from './kiln-top.ts';
import { wholeLines } from './lines.ts';
import { lastReadings, readLog, readPlan, readReadings } from './read.ts';
import type { LogRow, ReadingRow } from './rows.ts';

/** Paths of the folders that hold a readings.csv; none if there is no data folder. */
async function firingFolders(dataFolder: string): Promise<{ id: string; folder: string }[]> {
  const entries = await readdir(dataFolder, { withFileTypes: true }).catch(() => []);
  const found = await Promise.all(
    // What is hidden is no firing: one that is just being taken over, say.
    entries
      .filter(({ name }) => !name.startsWith('.'))
      .map(async (entry) => {
        const folder = join(dataFolder, entry.name);
        return (await sizeOf(join(folder, 'readings.csv'))) === null ? [] : [{ id: entry.name, folder }];
      }),
  );
  return found.flat();
}

/** Bytes of a file; null if it is none. */
async function sizeOf(path: string): Promise<number | null> {
  const status = await stat(path).catch(() => null);
  return status?.isFile() ? status.size : null;
}

/** Size and time of change of a firing's files: while they stay, so does what was read. */
async function stampOf(folder: string): Promise<string> {
  const files = ['readings.csv', 'log.csv', 'plan.json'].map((name) =>
    stat(join(folder, name)).then(
      ({ size, mtimeMs }) => `${size} ${mtimeMs}`,
      () => '-',
    ),
  );
  return (await Promise.all(files)).join(', ');
}

/** The entry that says that the kiln was opened, if there is one that was not undone or replaced. */
function unbricked(log: LogRow[]): LogRow | undefined {
  const replaced = new Set(log.map((row) => row.replaces));
  return log.findLast((row) => row.log === 'unbricked' && !replaced.has(row.entry));
}

const latest = (rows: ReadingRow[]): number | null =>
  rows.reduce<number | null>((last, { at }) => (last === null || at > last ? at : last), null);

async function firstReadingAt(folder: string): Promise<number | null> {
  for await (const [first] of readReadings(folder)) if (first) return first.at;
  return null;
}

interface Known {
  stamp: string;
  firing: FiringOnDisk;
  /** How far readings.csv has been gone through, and for which guide. */
  guide: string | null;
  throughBytes: number;
  top: KilnTop;
}

/** What was read of each folder: a firing is gone through once, and then only what has been added. */
const known = new Map<string, Known>();

async function summaryOf(id: string, folder: string): Promise<FiringOnDisk> {
  const stamp = await stampOf(folder);
  const before = known.get(folder);
  if (before?.stamp === stamp) return before.firing;
  const planFile = await readPlan(folder);
  const guide = planFile?.plan.guide ?? null;
  const path = join(folder, 'readings.csv');
  const grown = before?.guide === guide && before.throughBytes <= ((await sizeOf(path)) ?? 0);
  const { top, throughBytes } = grown ? before : { top: kilnTop(guide), throughBytes: 0 };
  const through: Known = { stamp, firing: emptyFiring(id), guide, throughBytes, top };
  try {
    for await (const lines of wholeLines(path, throughBytes)) {
      top.add(lines);
      through.throughBytes += lines.length;
    }
  } catch {
    // The disk gives no more of it: what was read counts.
  }
  const opened = unbricked(await readLog(folder));
  through.firing = {
    id,
    name: planFile?.plan.name ?? id,
    startedAt: planFile?.startedAt ?? (await firstReadingAt(folder)),
    endedAt: opened?.at ?? latest(await lastReadings(folder)),
    topC: top.topC(),
  };
  known.set(folder, through);
  return through.firing;
}

const emptyFiring = (id: string): FiringOnDisk => ({
  id,
  name: id,
  startedAt: null,
  endedAt: null,
  topC: null,
});

let turn: Promise<unknown> = Promise.resolve();

/**
 * The firings of a data folder, the newest first. `startedAt` is that of plan.json, else the first reading's;
 * `endedAt` that of the unbricked entry, else the last reading's. A folder without readings.csv is none; never rejects.
 */
export function listFirings(dataFolder: string): Promise<FiringOnDisk[]> {
  const list = turn.then(async () => {
    const firings: FiringOnDisk[] = [];
    // One after the other: a firing may be megabytes, and others need the disk too.
    for (const { id, folder } of await firingFolders(resolve(dataFolder)))
      firings.push(await summaryOf(id, folder));
    return firings.sort((a, b) => (b.startedAt ?? 0) - (a.startedAt ?? 0) || b.id.localeCompare(a.id));
  });
  // One list that fails is no reason for the next to fail.
  turn = list.catch(() => undefined);
  return list;
}

/** The last that a firing knows of: its latest reading or log row, epoch ms; null if it has neither. */
export async function lastSeen(folder: string): Promise<number | null> {
  return latestOf(await lastReadings(folder), await readLog(folder));
}

function latestOf(readings: ReadingRow[], log: LogRow[]): number | null {
  const times = [latest(readings), log.reduce((last, row) => Math.max(last, row.madeAt), 0)];
  return Math.max(...times.map((at) => at ?? 0)) || null;
}

/** A firing that was last heard of longer ago is not gone on with; nor one that began so far ahead of the computer's clock. */
const RUNNING_WITHIN_MS = 48 * HOUR_MS;
/** A clock that says less has not been set since the computer was switched on. */
const UNSET_BEFORE = Date.UTC(2025, 0, 1);

/**
 * The id of the firing that is to be gone on with after a restart: the newest from a real board, if it has no unbricked
 * entry and its last reading or log row is at most 48 h before `nowMs` (epoch ms); null if there is none. An older one is
 * never gone on with, even if nobody logged its end. A clock that was set back, or fell back to when the computer was
 * last switched off, may stand anywhere from 48 h before the firing began; one that has not been set at all says nothing.
 */
export async function findRunning(dataFolder: string, nowMs: number): Promise<string | null> {
  let newest: { id: string; folder: string; startedAt: number } | null = null;
  for (const { id, folder } of await firingFolders(resolve(dataFolder))) {
    const planFile = await readPlan(folder);
    if (planFile?.source !== 'board') continue;
    const { startedAt } = planFile;
    if (newest === null || startedAt > newest.startedAt) newest = { id, folder, startedAt };
  }
  if (newest === null) return null;
  const log = await readLog(newest.folder);
  const seenAt = latestOf(await lastReadings(newest.folder), log) ?? newest.startedAt;
  if (unbricked(log)) return null;
  const within = nowMs <= seenAt + RUNNING_WITHIN_MS && nowMs >= newest.startedAt - RUNNING_WITHIN_MS;
  return within || nowMs < UNSET_BEFORE ? newest.id : null;
}
