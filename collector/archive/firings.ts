/** The firings in a data folder: which there are, and which one is still going on. */
import { readdir, stat } from 'node:fs/promises';
import { join, resolve } from 'node:path';
import { HOUR_MS } from '../../protocol/units.ts';
import { lastReadings, readLog, readPlan } from './read.ts';
import type { LogRow, ReadingRow } from './rows.ts';

/** Paths of the folders that hold a readings.csv; none if there is no data folder. */
export async function firingFolders(dataFolder: string): Promise<{ id: string; folder: string }[]> {
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
export async function sizeOf(path: string): Promise<number | null> {
  const status = await stat(path).catch(() => null);
  return status?.isFile() ? status.size : null;
}

/** The entry that says that the kiln was opened, if there is one that was not undone or replaced. */
export function unbricked(log: LogRow[]): LogRow | undefined {
  const replaced = new Set(log.map((row) => row.replaces));
  return log.findLast((row) => row.log === 'unbricked' && !replaced.has(row.entry));
}

export const latest = (rows: ReadingRow[]): number | null =>
  rows.reduce<number | null>((last, { at }) => (last === null || at > last ? at : last), null);

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
