/**
 * Firings read back from the archive, filled into the same record as a live one. The kiln's figures are not in the
 * archive's rows: they are taken from the probes' as the core takes them.
 */
import { stat } from 'node:fs/promises';
import { basename } from 'node:path';
import { z } from 'zod';
import { newStandings, standingAfter, standingLogged } from '../../alerts/standing.ts';
import { ALERT_NAMES } from '../../protocol/alert-names.ts';
import type { LoggedEntry } from '../../protocol/firing-record.ts';
import { type KnownLogEntry, parseLogEntry } from '../../protocol/log-entries.ts';
import { defaultPlan } from '../../protocol/plan.ts';
import type { Stage } from '../../protocol/stages.ts';
import { formatTime } from '../../protocol/times.ts';
import { helloSchema } from '../archive/plan-file.ts';
import { readLog, readPlan, readReadings } from '../archive/read.ts';
import type { LogRow, PlanFile, ReadingRow } from '../archive/rows.ts';
import { newLogBook, planInBook, writeInBook } from '../core/log-book.ts';
import { drawnC, gapAfterMs, trimCurve } from './curve.ts';
import { OWN_WORDS } from './page-messages.ts';
import {
  type FiringRecord,
  newRecord,
  recordAlert,
  recordHello,
  recordLog,
  recordReading,
  recordStage,
  recordStanding,
} from './record.ts';

const alertSchema = z.object({
  name: z.enum(ALERT_NAMES),
  state: z.enum(['raised', 'cleared']),
  probe: z.string().nullable(),
  priority: z.enum(['come-now', 'look-soon', 'note']),
  text: z.string(),
});

/** A row of log.csv as it stands in the log book; null for the collector's own rows, which are no entries of it. */
export function rowInBook(row: LogRow): LoggedEntry | null {
  if (OWN_WORDS.has(row.log)) return null;
  const { entry, at, madeAt, who, where, log, json, replaces } = row;
  const id = typeof json.id === 'string' ? json.id : `row-${entry}`;
  return { entry, id, at, madeAt, who, where, log, json, undone: false, replaces };
}

/**
 * The record of the firing in `folder`; null if there is none. Rows that cannot be read are left out and told to
 * `onTrouble` in one sentence.
 */
export async function loadFiring(
  folder: string,
  onTrouble: (text: string) => void,
): Promise<FiringRecord | null> {
  if (!(await isFolder(folder))) return null;
  const broken: string[] = [];
  const onBroken = (row: { file: string; line: number; text: string }) => {
    if (broken.length === 0) broken.push(`line ${row.line} of ${row.file}: ${row.text}`);
  };
  const planFile = await readPlan(folder, onBroken);
  const log = await readLog(folder, onBroken);
  const id = basename(folder);
  const plan = planFile?.plan ?? defaultPlan();
  const name = planFile ? plan.name : id;
  const record = newRecord({ id, name, startedAt: planFile?.startedAt ?? null }, plan);
  takeHellos(record, log, planFile);
  const kiln = kilnFollower(record, log);
  for await (const rows of readReadings(folder, onBroken)) {
    for (const reading of readingsOf(rows)) takeReading(record, reading, kiln);
  }
  const takeLogRow = logTaker(record);
  for (const row of log) takeLogRow(row);
  trimCurve(record.curve);
  const [first] = broken;
  if (first)
    onTrouble(`The archive of ${id} has rows that cannot be read; they are left out. The first: ${first}`);
  return planFile || log.length > 0 || record.lastAt !== null ? record : null;
}

async function isFolder(path: string): Promise<boolean> {
  try {
    return (await stat(path)).isDirectory();
  } catch {
    return false;
  }
}

function takeHellos(record: FiringRecord, log: readonly LogRow[], planFile: PlanFile | null): void {
  for (const row of log) {
    const hello = row.log === 'hello' ? helloSchema.safeParse(row.json).data : undefined;
    if (hello) recordHello(record, row.madeAt, hello);
  }
  for (const hello of planFile?.boards ?? []) recordHello(record, planFile?.startedAt ?? 0, hello);
}

/** Rows that follow each other and are of one reading. */
function* readingsOf(rows: readonly ReadingRow[]): Generator<[ReadingRow, ...ReadingRow[]]> {
  let reading: [ReadingRow, ...ReadingRow[]] | null = null;
  for (const row of rows) {
    const [first] = reading ?? [];
    if (reading && first?.board === row.board && first.boot === row.boot && first.seq === row.seq) {
      reading.push(row);
    } else {
      if (reading) yield reading;
      reading = [row];
    }
  }
  if (reading) yield reading;
}

type KilnFollower = (rows: readonly ReadingRow[]) => Record<MeanFigure, number | null>;
type MeanFigure = 'smoothC' | 'climbCPerH' | 'climbSdCPerH';

/** The rows name a probe as its board does; where two boards have the same name the page does not. */
function withLabels({ boards }: FiringRecord, rows: readonly ReadingRow[]): ReadingRow[] {
  return rows.map((row) => {
    const known = boards.probes.find(({ board, name }) => board === row.board && name === row.probe);
    return known ? { ...row, probe: known.label } : row;
  });
}

function takeReading(record: FiringRecord, own: [ReadingRow, ...ReadingRow[]], follow: KilnFollower): void {
  const [of] = own;
  const { at, late, stage } = of;
  const rows = withLabels(record, own);
  const probes = rows.map(({ probe, tempC, flags, smoothC, cone }) => ({
    probe,
    curveC: drawnC(tempC, flags),
    smoothC,
    cone,
  }));
  recordReading(record, { at, of, kiln: late ? null : follow(rows), probes }, stage);
  const before = record.stages.at(-1)?.stage ?? stage;
  if (!late && before !== stage) recordStage(record, at, before, stage);
}

/**
 * The kiln's level and climb, reading by reading, as the core takes them: the plan's guide while it works, else the mean of
 * all that work; of probes that drift only where no other works.
 */
function kilnFollower(record: FiringRecord, log: readonly LogRow[]): KilnFollower {
  const plans = guidesOf(record, log);
  const drifting = new Set<string>();
  const latest = new Map<string, ReadingRow>();
  let guide = record.firstPlan.guide;
  return (rows) => {
    for (const row of rows) {
      latest.set(row.probe, row);
      // A reading without a temperature has no flag of it either: then it is as it was before.
      if (row.flags.includes('drift')) drifting.add(row.probe);
      else if (row.tempC !== null) drifting.delete(row.probe);
    }
    const at = rows[0]?.at ?? 0;
    for (let next = plans[0]; next && next.from <= at; next = plans[0]) {
      guide = next.guide;
      plans.shift();
    }
    const working: ReadingRow[] = [];
    for (const row of latest.values()) {
      if (row.smoothC !== null && at - row.at <= gapAfterMs(record.curve, row.probe)) working.push(row);
    }
    const sound = working.filter(({ probe }) => !drifting.has(probe));
    const taken = sound.length > 0 ? sound : working;
    const guiding = taken.filter(({ probe }) => probe === guide);
    const speaking = guiding.length > 0 ? guiding : taken;
    return {
      smoothC: mean(speaking, 'smoothC'),
      climbCPerH: mean(speaking, 'climbCPerH'),
      climbSdCPerH: mean(speaking, 'climbSdCPerH'),
    };
  };
}

/** Which probe guides from when on: a plan may be undone, or another may stand in its place. */
function guidesOf({ firstPlan }: FiringRecord, log: readonly LogRow[]) {
  const book = newLogBook();
  return log.flatMap((row) => {
    const entry = row.log === 'plan' || row.log === 'undo' ? entryOf(row) : null;
    if (entry === null) return [];
    writeInBook(book, row.at, entry);
    return [{ from: row.madeAt, guide: (planInBook(book) ?? firstPlan).guide }];
  });
}

function entryOf({ at, who, where, log, json }: LogRow): KnownLogEntry | null {
  const parsed = parseLogEntry({ ...json, log, at: formatTime(at), who, where });
  return parsed?.known ? parsed.entry : null;
}

function mean(rows: readonly ReadingRow[], figure: MeanFigure): number | null {
  let sum = 0;
  let count = 0;
  for (const { [figure]: value } of rows) {
    if (value === null) continue;
    sum += value;
    count += 1;
  }
  return count > 0 ? sum / count : null;
}

/** Rows of log.csv into the record, in their order; the alerts live as they did. */
function logTaker(record: FiringRecord): (row: LogRow) => void {
  const standings = newStandings();
  const book = newLogBook();
  return (row) => {
    const stage = stageAt(record, row.madeAt);
    const logged = rowInBook(row);
    if (logged) recordLog(record, logged);
    const alert = row.log === 'alert' ? alertSchema.safeParse(row.json).data : undefined;
    if (alert) {
      recordAlert(record, { kind: 'alert', at: row.at, ...alert });
      standingAfter(standings, { at: row.at, ...alert }, stage);
    }
    const entry = logged && entryOf(row);
    if (!entry) return;
    const undone = writeInBook(book, row.at, entry);
    for (const change of standingLogged(standings, row.madeAt, entry, undone, stage)) {
      // What was shelved in its time is not so any more.
      if (change.change !== 'changed') recordStanding(record, change);
    }
  };
}

function stageAt({ stages }: FiringRecord, at: number): Stage {
  return stages.findLast(({ from }) => from <= at)?.stage ?? 'before';
}
