/** The archive as the rest of the collector sees it. */
import type { FiringSummary } from '../../protocol/firing-record.ts';
import type { Plan } from '../../protocol/plan.ts';
import type { ReadingOutput } from '../core/inputs.ts';
import type { LogRow, PlanFile } from './rows.ts';

/** A firing that is being written. Nothing here throws or rejects: a failing disk is told through `onTrouble`. */
export interface Archive {
  /** Path of the firing's folder. */
  readonly folder: string;
  /** The folder's name, `2031-03-08-spring`. */
  readonly id: string;
  /** Adds a reading to readings.csv: one row a probe. */
  readings(output: ReadingOutput): void;
  /**
   * For the outputs of recovery: adds to the last reading on disk the rows that a torn end had taken from it. Any other
   * reading stands there already and is left as it is.
   */
  complete(output: ReadingOutput): void;
  /** Adds a row to log.csv; the answer is its entry number. */
  log(row: Omit<LogRow, 'entry'>): number;
  /** The number that the next row of log.csv will have. */
  nextEntry(): number;
  /** Adds one formatted line to link.capture (LF is added). */
  capture(line: string): void;
  /** Replaces plan.json. */
  plan(file: PlanFile): void;
  /** Writes and syncs what was handed in so far, if the disk lets it. */
  flush(): Promise<void>;
  /** As `flush`, and takes nothing more. False: the disk did not let it, and it may be called again. */
  close(): Promise<boolean>;
}

export interface ArchiveOptions {
  /** What is wrong with the disk and what to do, in a sentence; null once all that was kept back has been written. */
  onTrouble(text: string | null): void;
}

export interface FiringStart extends ArchiveOptions {
  /** Made if it is not there. */
  dataFolder: string;
  /** As the potter calls it; made safe for a path. */
  name: string;
  /** Epoch ms of firing time; its date in the computer's own time zone names the folder. */
  startedAt: number;
  plan: Plan;
  source: PlanFile['source'];
}

/** A past firing, or the one that runs: whether it runs is known to the caller. */
export type FiringOnDisk = Omit<FiringSummary, 'running'>;

/** A row that cannot be read (edited by hand, or hurt on the disk). It is left out, and the rest is read. */
export interface BrokenRow {
  file: 'readings.csv' | 'log.csv' | 'plan.json';
  /** Counted from 1. */
  line: number;
  /** What is wrong with it, in a sentence. */
  text: string;
}
