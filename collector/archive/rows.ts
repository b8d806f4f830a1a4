/** The rows of a firing on disk, as records. */
import type { Hello } from '../../protocol/board-lines.ts';
import type { FIRING_SOURCES } from '../../protocol/live-messages.ts';
import type { Plan } from '../../protocol/plan.ts';
import type { RawValue } from '../../protocol/probes.ts';
import type { Stage } from '../../protocol/stages.ts';
import type { ReadingFlag } from '../core/inputs.ts';

/** One row of readings.csv: one probe of one reading. */
export interface ReadingRow {
  /** Counts rows from 0. */
  arrival: number;
  /** Steadied time, epoch ms. */
  at: number;
  board: string;
  boot: string;
  seq: number;
  uptimeMs: number;
  coldJunctionC: number | null;
  probe: string;
  raw: RawValue;
  tempC: number | null;
  smoothC: number | null;
  climbCPerH: number | null;
  climbSdCPerH: number | null;
  cone: string | null;
  stage: Stage;
  late: boolean;
  flags: ReadingFlag[];
}

/** Which reading a row is of: the rows of one reading share all three. */
export type ReadingKey = Pick<ReadingRow, 'board' | 'boot' | 'seq'>;

export function sameReading(one: ReadingKey, other: ReadingKey): boolean {
  return one.seq === other.seq && one.boot === other.boot && one.board === other.board;
}

/**
 * One row of log.csv. `log` is the entry's word; `alert`, `hello` and `plan` rows are the collector's own: `json` of
 * an alert is `{name, state, probe, priority, text}`, of a hello the hello.
 */
export interface LogRow {
  /** Counts rows from 0. */
  entry: number;
  /** When it happened, epoch ms. */
  at: number;
  /** When it was taken in, epoch ms: its place among the core's inputs. */
  madeAt: number;
  who: string;
  where: string;
  log: string;
  json: Record<string, unknown>;
  /** The row that this one takes the place of, or null. */
  replaces: number | null;
}

/** plan.json */
export interface PlanFile {
  plan: Plan;
  boards: Hello[];
  startedAt: number;
  source: (typeof FIRING_SOURCES)[number];
}
