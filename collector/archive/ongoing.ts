/** A firing that is being written: what is handed in becomes rows, and the rows wait for their file. */
import { basename, join } from 'node:path';
import { readingsMetadata } from '../../protocol/archive-metadata.ts';
import { CAPTURE_HEADER } from '../../protocol/capture.ts';
import type { ProbeFigures, ReadingOutput } from '../core/inputs.ts';
import { type Appender, createAppender } from './appender.ts';
import type { Archive, ArchiveOptions } from './archive.ts';
import type { Disk } from './disk.ts';
import { createFlusher } from './flusher.ts';
import type { GrowingName } from './mend.ts';
import { planFileText } from './plan-file.ts';
import { createReplacer } from './replacer.ts';
import { csvText, LOG_HEADER, logCells, READINGS_HEADER, readingCells } from './row-text.ts';
import { type ReadingRow, sameReading } from './rows.ts';
import type { Standing } from './standing.ts';

const HEADERS: Record<GrowingName, string> = {
  'link.capture': `${CAPTURE_HEADER}\n`,
  'log.csv': LOG_HEADER,
  'readings.csv': READINGS_HEADER,
};

/** What may wait for a disk in trouble. Readings: some 17 h of a board with four probes that reads once a second. */
export const MEMORY_BYTES: Record<GrowingName, number> = {
  'link.capture': 16 << 20,
  'log.csv': 8 << 20,
  'readings.csv': 32 << 20,
};

const NO_FIGURES: Omit<ProbeFigures, 'probe' | 'raw'> = {
  tempC: null,
  smoothC: null,
  climbCPerH: null,
  climbSdCPerH: null,
  cone: null,
  coneShift: null,
  fault: null,
  note: null,
  flags: [],
};

/** The rows of a reading, one a value, by the probe's name on its board (`figures` may say `shed-2 low` for `low`). */
function rowsOf({ input, stage, rows }: ReadingOutput): Omit<ReadingRow, 'arrival'>[] {
  return input.values.map(({ probe, raw }) => {
    const figures =
      rows.find((row) => row.probe === probe) ??
      rows.find((row) => row.probe === `${input.board} ${probe}`) ??
      NO_FIGURES;
    const { tempC, smoothC, climbCPerH, climbSdCPerH, cone, flags } = figures;
    const { at, board, boot, seq, uptimeMs, coldJunctionC, late } = input;
    const keys = { at, board, boot, seq, uptimeMs, coldJunctionC, probe, raw };
    return { ...keys, tempC, smoothC, climbCPerH, climbSdCPerH, cone, stage, late, flags };
  });
}

interface OngoingStart extends ArchiveOptions {
  folder: string;
  disk: Disk;
  /** What the files hold already. */
  standing: Standing;
  /** For the metadata. */
  title: string;
  memoryBytes: Record<GrowingName, number>;
}

/** Nothing is written before the first `flush` or 250 ms after the first row. */
export function ongoingFiring(start: OngoingStart): Archive {
  const { folder, disk, standing, onTrouble } = start;
  const appender = (name: GrowingName): Appender =>
    createAppender({
      disk,
      path: join(folder, name),
      header: HEADERS[name],
      memoryBytes: start.memoryBytes[name],
      torn: standing.torn[name],
    });
  // In the order of writing: what a kill in between takes away can be computed again from what stands there.
  const capture = appender('link.capture');
  const log = appender('log.csv');
  const readings = appender('readings.csv');
  const planFile = createReplacer(disk, join(folder, 'plan.json'));
  const metadata = createReplacer(disk, join(folder, 'readings.csv-metadata.json'));
  metadata.set(`${JSON.stringify(readingsMetadata(start.title), null, 2)}\n`);

  const steps = [capture, log, readings, planFile, metadata];
  const flusher = createFlusher({
    steps,
    folder,
    onTrouble,
    onGone() {
      for (const step of steps) step.again();
    },
  });
  let { arrival, entry } = standing;
  const { lastReading } = standing;
  let closed = false;

  /** Whether the text was taken. */
  function give(to: Appender, text: string): boolean {
    if (closed) return false;
    const taken = to.add(text);
    if (taken) flusher.soon();
    else flusher.gaveUp();
    return taken;
  }

  const isLast = ({ input }: ReadingOutput): boolean =>
    lastReading !== null && sameReading(input, lastReading);

  /** Of the last reading on disk a torn end may have left only some rows: the others are added, and none twice. */
  function addReading(output: ReadingOutput): void {
    const stands = isLast(output) ? lastReading?.probes : undefined;
    const rows = rowsOf(output).filter(({ probe }) => !stands?.has(probe));
    if (rows.length === 0) return;
    const cells = rows.map((row, i) => readingCells({ arrival: arrival + i, ...row }));
    if (!give(readings, csvText(cells))) return;
    arrival += rows.length;
    if (stands !== undefined) for (const { probe } of rows) stands.add(probe);
  }

  return {
    folder,
    id: basename(folder),
    readings: addReading,
    complete(output) {
      if (isLast(output)) addReading(output);
    },
    log(row) {
      const numbered = { entry, ...row };
      entry += 1;
      give(log, csvText([logCells(numbered)]));
      return numbered.entry;
    },
    nextEntry: () => entry,
    capture(line) {
      give(capture, `${line.replace(/[\r\n]+/g, ' ')}\n`);
    },
    plan(file) {
      planFile.set(planFileText(file));
      if (!closed) flusher.soon();
    },
    flush: () => flusher.now(),
    async close() {
      closed = true;
      await flusher.close();
      return !steps.some((step) => step.unsettled());
    },
  };
}
