/** The firings of a data folder as a list: each with its name, its times, and how hot it got. */
import { stat } from 'node:fs/promises';
import { join, resolve } from 'node:path';
import type { FiringOnDisk } from './archive.ts';
import { firingFolders, latest, sizeOf, unbricked } from './firings.ts';
import { type KilnTop, kilnTop } from './kiln-top.ts';
import { wholeLines } from './lines.ts';
import { lastReadings, readLog, readPlan, readReadings } from './read.ts';

/**
 * The firings of a data folder, the newest first. `startedAt` is that of plan.json, else the first reading's;
 * `endedAt` that of the unbricked entry, else the last reading's. A folder without readings.csv is none; never rejects.
 */
export type FiringList = () => Promise<FiringOnDisk[]>;

/** A firing is gone through once, and then only what has been added: the list keeps what it has read. */
export function createFiringList(dataFolder: string): FiringList {
  const known = new Map<string, Known>();
  let turn: Promise<unknown> = Promise.resolve();
  return () => {
    const list = turn.then(async () => {
      const firings: FiringOnDisk[] = [];
      // One after the other: a firing may be megabytes, and others need the disk too.
      for (const found of await firingFolders(resolve(dataFolder)))
        firings.push(await summaryOf(known, found));
      return firings.sort((a, b) => (b.startedAt ?? 0) - (a.startedAt ?? 0) || b.id.localeCompare(a.id));
    });
    // One list that fails is no reason for the next to fail.
    turn = list.catch(() => undefined);
    return list;
  };
}

interface Known {
  stamp: string;
  firing: FiringOnDisk;
  /** How far readings.csv has been gone through, and for which guide. */
  guide: string | null;
  throughBytes: number;
  top: KilnTop;
}

async function summaryOf(
  known: Map<string, Known>,
  { id, folder }: { id: string; folder: string },
): Promise<FiringOnDisk> {
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

async function firstReadingAt(folder: string): Promise<number | null> {
  for await (const [first] of readReadings(folder)) if (first) return first.at;
  return null;
}

const emptyFiring = (id: string): FiringOnDisk => ({
  id,
  name: id,
  startedAt: null,
  endedAt: null,
  topC: null,
});
