/** Begins a firing on disk, or goes on with one. */
import { basename, join, resolve } from 'node:path';
import { errorCode } from '../error-code.ts';
import type { Archive, ArchiveOptions, FiringStart } from './archive.ts';
import { type Disk, systemDisk } from './disk.ts';
import { localDate, safeName } from './folder-name.ts';
import { makeFolders } from './make-folders.ts';
import { MEMORY_BYTES, ongoingFiring } from './ongoing.ts';
import { readPlan } from './read.ts';
import { NOTHING_YET, standingOf } from './standing.ts';
import { readingTrouble, startTrouble } from './trouble.ts';

/** Makes `<data folder>/<date>-<name>`, or with `-2`, `-3` and so on behind it if there is one already. */
async function newFolder(disk: Disk, dataFolder: string, stem: string): Promise<string> {
  await makeFolders(dataFolder);
  for (let count = 1; ; count++) {
    const folder = join(dataFolder, count === 1 ? stem : `${stem}-${count}`);
    try {
      await disk.makeFolder(folder);
      return folder;
    } catch (error) {
      if (errorCode(error) !== 'EEXIST') throw error;
    }
  }
}

/**
 * Begins a firing: its folder, the headers, the metadata and plan.json. Rejects with an Error that says what to do if
 * its folder cannot be made; trouble after that is told through `onTrouble`.
 */
export async function createFiring(start: FiringStart, disk = systemDisk): Promise<Archive> {
  const dataFolder = resolve(start.dataFolder);
  const stem = `${localDate(start.startedAt)}-${safeName(start.name)}`;
  let folder: string;
  try {
    folder = await newFolder(disk, dataFolder, stem);
  } catch (error) {
    throw startTrouble(error, dataFolder);
  }
  const { name, plan, startedAt, source, onTrouble } = start;
  const archive = ongoingFiring({
    folder,
    disk,
    standing: NOTHING_YET,
    title: name,
    memoryBytes: MEMORY_BYTES,
    onTrouble,
  });
  archive.plan({ plan, boards: [], startedAt, source });
  await archive.flush();
  return archive;
}

/**
 * Goes on with a firing: torn ends are cut off, and arrival and entry go on from the last row. Rejects with an
 * Error that says what to do if what stands there cannot be read; that it cannot be written is told through `onTrouble`.
 */
export async function openExisting(
  firingFolder: string,
  { onTrouble }: ArchiveOptions,
  disk = systemDisk,
): Promise<Archive> {
  const folder = resolve(firingFolder);
  const standing = await standingOf(folder).catch((error: unknown) => {
    throw readingTrouble(error, folder);
  });
  const planFile = await readPlan(folder);
  const title = planFile?.plan.name ?? basename(folder);
  const archive = ongoingFiring({ folder, disk, standing, title, memoryBytes: MEMORY_BYTES, onTrouble });
  if (planFile !== null) archive.plan(planFile);
  await archive.flush();
  return archive;
}
