/**
 * A firing's record in memory: its curve, stages, log book and alerts. The live feed and a firing read back from the
 * archive fill it through the same functions.
 */

import { alertId, type StandingChange } from '../../alerts/standing.ts';
import type { Hello } from '../../protocol/board-lines.ts';
import type { FiringFacts } from '../../protocol/firing-facts.ts';
import {
  type ActiveAlert,
  type Curve,
  type FiringSummary,
  isPutOff,
  type LoggedEntry,
  type RecordedFiring,
  type StageSpan,
} from '../../protocol/firing-record.ts';
import type { OtherKiln } from '../../protocol/live-messages.ts';
import { parseLogEntry } from '../../protocol/log-entries.ts';
import type { Plan } from '../../protocol/plan.ts';
import { presentPlan } from '../../protocol/plan-in-log.ts';
import type { Stage } from '../../protocol/stages.ts';
import { type Course, type CourseReading, newCourse, noteCourse } from '../core/firing-facts/course.ts';
import { firingFacts } from '../core/firing-facts/facts.ts';
import type { AlertOutput } from '../core/inputs.ts';
import { newLogBook, writeInBook } from '../core/log-book.ts';
import { type FiringState, newFiring, periodOf, takeHello } from '../core/state.ts';
import { addReading, type CurveReading, type CurveStore, newCurve, setPeriod } from './curve.ts';

/** `startedAt` is that of plan.json; null where that is not known: then the first reading's. */
export type FiringName = Pick<FiringSummary, 'id' | 'name' | 'startedAt'>;

export interface FiringRecord {
  firing: FiringName;
  /** The plan that the firing began with. */
  firstPlan: Plan;
  curve: CurveStore;
  /** The core's own list of boards and probes, fed with hellos alone: the same probe has the same name everywhere. */
  boards: FiringState;
  stages: StageSpan[];
  log: LoggedEntry[];
  alerts: RecordedFiring['alerts'];
  /** The cone by heat work of each probe, which never goes down. */
  cones: Map<string, string>;
  lastAt: number | null;
  topC: number | null;
  /** How it went, for its facts. */
  course: Course;
}

/** An alert as it stands after a change, and the state to tell. */
export interface AlertNews {
  at: number;
  state: 'raised' | 'acknowledged' | 'cleared' | 'changed';
  alert: ActiveAlert;
}

export function newRecord(firing: FiringName, plan: Plan): FiringRecord {
  return {
    firing,
    firstPlan: plan,
    curve: newCurve(),
    boards: newFiring(plan),
    stages: [],
    log: [],
    alerts: [],
    cones: new Map(),
    lastAt: null,
    topC: null,
    course: newCourse(),
  };
}

/** A reading for the curve and for the facts. */
interface RecordedReading extends CurveReading {
  probes: readonly (CurveReading['probes'][number] & CourseReading['probes'][number])[];
}

/** Takes the probes of a hello in. The answer is whether the list of probes has changed. */
export function recordHello(record: FiringRecord, at: number, hello: Hello): boolean {
  const before = JSON.stringify(probesOf(record));
  takeHello(record.boards, at, hello);
  for (const { label, board } of record.boards.probes) {
    setPeriod(record.curve, label, periodOf(record.boards, board));
  }
  return JSON.stringify(probesOf(record)) !== before;
}

function probesOf(record: FiringRecord): RecordedFiring['probes'] {
  return record.boards.probes.map(({ label, track }) => ({ name: label, couple: track.spec.couple }));
}

/** `stage` is that of the reading; it begins the list of stages, and `recordStage` goes on. */
export function recordReading(record: FiringRecord, reading: RecordedReading, stage: Stage): void {
  addReading(record.curve, reading);
  for (const { probe, cone } of reading.probes) if (cone !== null) record.cones.set(probe, cone);
  const { at, kiln, probes } = reading;
  if (kiln) noteCourse(record.course, { at, stage, kilnC: kiln.smoothC, probes });
  if (record.stages.length === 0) record.stages.push({ from: reading.at, stage });
  record.lastAt = Math.max(record.lastAt ?? reading.at, reading.at);
  const kilnC = reading.kiln?.smoothC ?? null;
  if (kilnC !== null) record.topC = Math.max(record.topC ?? kilnC, kilnC);
}

export function recordStage(record: FiringRecord, at: number, from: Stage, to: Stage): void {
  if (record.stages.length === 0) record.stages.push({ from: record.firing.startedAt ?? at, stage: from });
  record.stages.push({ from: at, stage: to });
}

/** Takes an alert's change in. Null where nothing is told: a clearing of what was not up. */
export function recordAlert(record: FiringRecord, change: AlertOutput): AlertNews | null {
  const { at, name, probe, priority, text } = change;
  const up = record.alerts.findLast(
    ({ alert, clearedAt }) => clearedAt === null && alert.name === name && alert.probe === probe,
  );
  if (change.state === 'cleared') {
    if (!up) return null;
    up.clearedAt = at;
    up.clearedText = text;
    // What is over is told by why it was raised.
    Object.assign(up.alert, {
      text: up.alert.raisedText ?? up.alert.text,
      shelved: null,
      suppressed: false,
      easing: false,
    });
    return { at, state: 'cleared', alert: up.alert };
  }
  if (up) {
    up.alert.text = text;
    return { at, state: 'raised', alert: up.alert };
  }
  const alert: ActiveAlert = {
    id: alertId(change),
    name,
    probe,
    priority,
    raisedAt: at,
    raisedText: text,
    text,
    acknowledged: null,
    shelved: null,
    suppressed: false,
    easing: false,
  };
  record.alerts.push({ alert, clearedAt: null });
  return { at, state: 'raised', alert };
}

/** An alert was answered, shelved or suppressed, eases, or says something else. Null where nothing is told: it is not up any more. */
export function recordStanding(
  record: FiringRecord,
  { at, change, standing }: StandingChange,
): AlertNews | null {
  const known = record.alerts.findLast(({ alert }) => alert.id === standing.id);
  if (!known) return null;
  const { text, acknowledged, shelved, suppressed, easing } = standing;
  known.alert.acknowledged = acknowledged;
  if (known.clearedAt !== null) return null;
  Object.assign(known.alert, { text, shelved, suppressed, easing });
  const state = change === 'acknowledged' ? 'acknowledged' : change === 'recalled' ? 'raised' : 'changed';
  return { at, state, alert: known.alert };
}

/** The alerts that call for a person now, for those who look at another kiln: no notes, and nothing that was put off. */
export function callsOf({ alerts }: FiringRecord): OtherKiln['alerts'] {
  return alerts
    .filter(({ alert, clearedAt }) => clearedAt === null && alert.priority !== 'note' && !isPutOff(alert))
    .map(({ alert: { id, name, priority, text, acknowledged } }) => ({
      id,
      name,
      priority,
      text,
      acknowledged: acknowledged !== null,
    }));
}

/** Takes a row of the log book in: an `undo` marks what it names, a row that replaces another marks that one. */
export function recordLog(record: FiringRecord, logged: LoggedEntry): void {
  record.log.push(logged);
  for (const entry of outdatedBy(record, logged)) entry.undone = true;
}

/** What a new row undoes or takes the place of. The `id` of an undo is that of the entry it names. */
function outdatedBy(record: FiringRecord, logged: LoggedEntry): LoggedEntry[] {
  const replaced = logged.replaces ?? null;
  const undoneId = logged.log === 'undo' ? logged.json.id : undefined;
  if (replaced === null && undoneId === undefined) return [];
  return record.log.filter(
    (entry) => entry.entry === replaced || (entry.log !== 'undo' && entry.id === undoneId),
  );
}

/** The firing in a line. It ended when it was unbricked, else with the last reading. `ended`: nothing more will come. */
export function summaryOf(record: FiringRecord, ended: boolean): FiringSummary {
  const { firing, topC, lastAt, curve } = record;
  const unbricked = record.log.findLast(({ log, undone }) => log === 'unbricked' && !undone);
  const firstAt = curve.length > 0 ? (curve.at[0] ?? null) : null;
  return {
    ...firing,
    startedAt: firing.startedAt ?? firstAt,
    endedAt: ended ? (unbricked?.at ?? lastAt) : null,
    topC: topC === null ? null : Math.round(topC * 100) / 100,
    running: !ended,
  };
}

/** The firing in figures, as far as it has come. */
export function factsOfRecord({
  course,
  topC,
  stages,
  log,
  alerts,
  firstPlan,
  lastAt,
}: FiringRecord): FiringFacts {
  const book = newLogBook();
  for (const { at, id, log: word, json } of log) {
    const read = parseLogEntry({ id, ...json, log: word });
    if (read?.known) writeInBook(book, at, read.entry);
  }
  return firingFacts({
    course,
    topC,
    stages,
    alerts: alerts.map(({ alert: { name, raisedAt }, clearedAt }) => ({ name, raisedAt, clearedAt })),
    book,
    plan: presentPlan(firstPlan, log),
    lastAt,
  });
}

/** What the page shows of a firing, with the curve that was made of it. `ended`: nothing more will come. */
export function recordedView(record: FiringRecord, curve: Curve, ended: boolean): RecordedFiring {
  return {
    firing: summaryOf(record, ended),
    probes: probesOf(record),
    firstPlan: record.firstPlan,
    curve,
    stages: record.stages,
    cones: [...record.cones].map(([probe, cone]) => ({ probe, cone })),
    log: record.log,
    alerts: record.alerts,
  };
}
