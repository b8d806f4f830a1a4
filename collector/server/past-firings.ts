/** Past firings for the page: the last few that were asked for stay in memory, for closer looks at their curve. */
import { stat } from 'node:fs/promises';
import { join } from 'node:path';
import { exportZip } from '../archive/export.ts';
import { createFiringList } from '../archive/firing-list.ts';
import { curveOf } from './curve.ts';
import { createFactsBook } from './facts-book.ts';
import type { ImportBook } from './import-doors.ts';
import { type FiringRecord, recordedView } from './record.ts';
import { loadFiring } from './recorded.ts';
import { createResultsBook } from './results-doors.ts';
import type { PastFirings } from './site.ts';

/** A firing of five days at a reading a second takes some 15 MB. */
const KEPT_FIRINGS = 3;

interface Kept {
  /** Size and time of the files it was read from. */
  version: string;
  record: Promise<FiringRecord | null>;
}

/** The firings in the data folder. `onTrouble` is told of rows that cannot be read; `imports` takes firings over into it. */
export function createPastFirings(
  dataFolder: string,
  onTrouble: (text: string) => void,
  imports?: ImportBook,
): PastFirings {
  /** In order of use, the latest last. */
  const kept = new Map<string, Kept>();

  async function recordOf(id: string): Promise<FiringRecord | null> {
    const folder = join(dataFolder, id);
    const version = await versionOf(folder);
    const known = kept.get(id);
    const fresh = known?.version === version ? known : { version, record: loadFiring(folder, onTrouble) };
    kept.delete(id);
    kept.set(id, fresh);
    for (const oldest of kept.keys()) {
      if (kept.size <= KEPT_FIRINGS) break;
      kept.delete(oldest);
    }
    try {
      return await fresh.record;
    } catch (error) {
      kept.delete(id);
      throw error;
    }
  }

  const list = createFiringList(dataFolder);
  return {
    list: async () => (await list()).map((firing) => ({ ...firing, running: false })),
    view: async (id, window) => {
      const record = await recordOf(id);
      return record && recordedView(record, curveOf(record.curve, window), true);
    },
    curve: async (id, window) => {
      const record = await recordOf(id);
      return record && curveOf(record.curve, window);
    },
    facts: createFactsBook(dataFolder, versionOf),
    results: createResultsBook(dataFolder),
    ...(imports === undefined ? {} : { imports }),
    zip: (id, options) => exportZip(join(dataFolder, id), options),
  };
}

async function versionOf(folder: string): Promise<string> {
  const marks = ['readings.csv', 'log.csv', 'plan.json'].map(async (file) => {
    try {
      const { size, mtimeMs } = await stat(join(folder, file));
      return `${size} ${mtimeMs}`;
    } catch {
      return '';
    }
  });
  return (await Promise.all(marks)).join();
}
