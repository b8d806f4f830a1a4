/** What a firing's files hold already when it is gone on with. */
import { findTorn, type GrowingName, type Torn } from './mend.ts';
import { lastReadings, readLog } from './read.ts';
import { type ReadingKey, sameReading } from './rows.ts';

export interface Standing {
  /** Ends to be cut off. */
  torn: Record<GrowingName, Torn | null>;
  /** The next row of readings.csv. */
  arrival: number;
  /** The next row of log.csv. */
  entry: number;
  /** The last reading, of which perhaps only some rows are there. */
  lastReading: (ReadingKey & { probes: Set<string> }) | null;
}

export const NOTHING_YET: Standing = {
  torn: { 'link.capture': null, 'log.csv': null, 'readings.csv': null },
  arrival: 0,
  entry: 0,
  lastReading: null,
};

/** Reads only the end of readings.csv. Rejects with the system's error if a file is there and cannot be read. */
export async function standingOf(folder: string): Promise<Standing> {
  let brokenEntries = 0;
  const torn = await findTorn(folder);
  const tail = await lastReadings(folder);
  const entries = await readLog(folder, () => {
    brokenEntries += 1;
  });
  const last = tail.at(-1);
  const probes = tail.filter((row) => last !== undefined && sameReading(row, last)).map((row) => row.probe);
  return {
    torn,
    arrival: tail.reduce((next, row) => Math.max(next, row.arrival + 1), 0),
    entry: entries.reduce((next, row) => Math.max(next, row.entry + 1), entries.length + brokenEntries),
    lastReading: last ? { board: last.board, boot: last.boot, seq: last.seq, probes: new Set(probes) } : null,
  };
}
