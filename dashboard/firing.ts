/** A firing as the page knows it: what the live page and the replay of a past firing both show. */
import {
  type ActiveAlert,
  type FiringSummary,
  isPutOff,
  type LoggedEntry,
  type StageSpan,
} from '../protocol/firing-record.ts';
import type { CollectorMessage } from '../protocol/live-messages.ts';
import type { Plan } from '../protocol/plan.ts';
import { presentPlan } from '../protocol/plan-in-log.ts';
import type { CoupleType } from '../protocol/probes.ts';
import type { Stage } from '../protocol/stages.ts';

export type Reading = Extract<CollectorMessage, { type: 'reading' }>;
type Forecast = Extract<CollectorMessage, { type: 'forecast' }>;
export type Stoking = Extract<CollectorMessage, { type: 'stoking' }>;
export type Salting = Extract<CollectorMessage, { type: 'salting' }>;

/** One probe with its newest figures. `at` is the time of its newest reading, epoch ms; null before the first. */
export interface ProbeNow {
  name: string;
  couple: CoupleType | null;
  at: number | null;
  tempC: number | null;
  smoothC: number | null;
  climbCPerH: number | null;
  cone: string | null;
  /** How many cones more than computed, by the cones seen at its place; null where none was. */
  coneShift: number | null;
  fault: string | null;
  /** What is to be known of it that is no fault. */
  note: string | null;
}

export interface KnownAlert {
  alert: ActiveAlert;
  clearedAt: number | null;
}

/** An entry of the log book; `pending` until the collector has taken it. */
export interface Entry extends LoggedEntry {
  pending: boolean;
}

export interface Firing {
  summary: FiringSummary;
  /** The plan that it began with, and the one that stands. */
  firstPlan: Plan;
  plan: Plan;
  probes: ProbeNow[];
  kiln: Reading['kiln'];
  stage: Stage;
  stages: StageSpan[];
  log: LoggedEntry[];
  alerts: KnownAlert[];
  forecast: Forecast | null;
  stoking: Stoking | null;
  /** The heat around the newest lot of salt, as last told. */
  saltHeat: Salting['heat'];
  /** The lots before it, each as it stood when the next one went in. */
  earlierLots: Salting['earlier'];
  lastReadingAt: number | null;
}

export const NO_KILN: Reading['kiln'] = { smoothC: null, climbCPerH: null, climbSdCPerH: null };

/** A probe that has said nothing yet. */
export function silentProbe(name: string, couple: CoupleType | null): ProbeNow {
  return {
    name,
    couple,
    at: null,
    tempC: null,
    smoothC: null,
    climbCPerH: null,
    cone: null,
    coneShift: null,
    fault: null,
    note: null,
  };
}

/** The figures of a reading laid over what was known; a probe that is new to the page is added. */
export function withReading(firing: Firing, reading: Reading): Firing {
  const probes = [...firing.probes];
  for (const figures of reading.probes) {
    const { probe: name, tempC, smoothC, climbCPerH, cone, coneShift = null, fault, note = null } = figures;
    const place = probes.findIndex((known) => known.name === name);
    const before = probes[place];
    const now = {
      name,
      couple: before?.couple ?? null,
      at: reading.at,
      tempC,
      smoothC,
      climbCPerH,
      coneShift,
      fault,
      note,
    };
    // Heat work never goes down: a probe without a figure keeps its cone.
    const merged = { ...now, cone: cone ?? before?.cone ?? null };
    if (before) probes[place] = merged;
    else probes.push(merged);
  }
  return { ...firing, probes, kiln: reading.kiln, stage: reading.stage, lastReadingAt: reading.at };
}

/** An alert's news: raised, answered or cleared. */
export function withAlert(firing: Firing, news: KnownAlert): Firing {
  const others = firing.alerts.filter(({ alert }) => alert.id !== news.alert.id);
  return { ...firing, alerts: [...others, news] };
}

/** A stage that began; the same stage again adds no second band. */
export function withStage(firing: Firing, span: StageSpan): Firing {
  const same = firing.stages.at(-1)?.stage === span.stage;
  return { ...firing, stage: span.stage, stages: same ? firing.stages : [...firing.stages, span] };
}

function rowKey(row: LoggedEntry): string {
  return row.id === '' ? `row ${row.entry}` : row.id;
}

/** The id of the entry that an undo takes back. An undo's own `id` field is the id of its target. */
export function undoTarget(row: { id: string; json: Record<string, unknown> }): string {
  return typeof row.json.id === 'string' ? row.json.id : row.id;
}

/**
 * A row of the log book, new or in place of the one with its id. An undo marks its target and is no row of its own; a
 * row that takes the place of another (a mended time or text) marks that one.
 */
export function withLogged(firing: Firing, row: LoggedEntry): Firing {
  const target = row.log === 'undo' ? undoTarget(row) : null;
  const gone = (known: LoggedEntry) =>
    (row.replaces === known.entry && row.id !== known.id) || (target !== null && known.id === target);
  const before = firing.log.map((known) => (gone(known) ? { ...known, undone: true } : known));
  if (target !== null) return withLog(firing, before);
  const place = before.findIndex((known) => rowKey(known) === rowKey(row));
  const log = place < 0 ? [...before, row] : before.map((known, at) => (at === place ? row : known));
  return withLog(firing, log);
}

/** A changed plan stands in the log, and goes when it is taken back. */
function withLog(firing: Firing, log: LoggedEntry[]): Firing {
  return { ...firing, log, plan: presentPlan(firing.firstPlan, log) };
}

const URGENCY = { 'come-now': 0, 'look-soon': 1, note: 2 } as const;
/** So far behind a call that nobody has heard stands one that was heard or put off; a note stands behind them all. */
const HEARD_BEHIND = 2;

function rank(alert: ActiveAlert): number {
  if (alert.priority === 'note') return HEARD_BEHIND + URGENCY.note;
  return URGENCY[alert.priority] + (calls(alert) ? 0 : HEARD_BEHIND);
}

/** Whether it calls for a person now. */
export function calls(alert: ActiveAlert): boolean {
  return alert.acknowledged === null && !isPutOff(alert);
}

/** Whether an alert has nothing to say beside the others: its part is done, or said by a more urgent one. */
function isSaidAlready(alert: ActiveAlert, fall: ActiveAlert | undefined, saltedAt: number): boolean {
  // Whoever salts knows that it is hot enough.
  if (alert.name === 'salting-window') return alert.raisedAt <= saltedAt;
  // A kiln that falls does not climb either.
  return alert.name === 'stall' && fall !== undefined && (calls(fall) || !calls(alert));
}

/**
 * Alerts that stand, in the order in which they want a person: what calls first, then what was heard or put off, then
 * the notes; of equal ones the newest first. One that was answered in `log`, also while the answer is on its way, counts
 * as heard.
 */
export function standingAlerts(firing: Firing, log: readonly LoggedEntry[]): ActiveAlert[] {
  const answers = new Map(
    log.filter((row) => row.log === 'ack' && !row.undone).map((row) => [row.json.alert, row]),
  );
  const up = firing.alerts.filter(({ clearedAt }) => clearedAt === null).map(({ alert }) => alert);
  const fallId = up.find(({ name }) => name === 'falling')?.id;
  const standing = up.map((alert) => {
    // Whoever has heard that the kiln falls has heard that it stalls.
    const answer = answers.get(alert.id) ?? (alert.name === 'stall' ? answers.get(fallId) : undefined);
    if (alert.acknowledged !== null || answer === undefined) return alert;
    return { ...alert, acknowledged: { at: answer.at, who: answer.who === '' ? null : answer.who } };
  });
  const fall = standing.find(({ id }) => id === fallId);
  const saltedAt = Math.max(...countingEntries(log).map((row) => (row.log === 'salt' ? row.at : 0)));
  return standing
    .filter((alert) => !isSaidAlready(alert, fall, saltedAt))
    .sort((a, b) => rank(a) - rank(b) || b.raisedAt - a.raisedAt);
}

/** Entries that count, oldest first by when they happened. */
export function countingEntries<Row extends LoggedEntry>(log: readonly Row[]): Row[] {
  return log.filter((row) => !row.undone).sort((a, b) => a.at - b.at);
}

/** When the fire was lit: as logged, else as the first stage after `before` tells, else null. */
export function litAt(firing: Pick<Firing, 'log' | 'stages'>): number | null {
  const logged = countingEntries(firing.log).find((row) => row.log === 'light-up');
  return logged?.at ?? firing.stages.find((span) => span.stage !== 'before')?.from ?? null;
}

/** Probes that were taken out on purpose and not put back. */
export function pulledProbes(log: readonly LoggedEntry[]): Set<string> {
  const pulled = new Set<string>();
  for (const row of countingEntries(log)) {
    if (row.log === 'pulled' && typeof row.json.probe === 'string') pulled.add(row.json.probe);
    if (row.log === 'put-back' && typeof row.json.probe === 'string') pulled.delete(row.json.probe);
  }
  return pulled;
}

/** The newest entry of a kind that counts. */
export function lastOf<Row extends LoggedEntry>(log: readonly Row[], word: string): Row | null {
  return countingEntries(log).findLast((row) => row.log === word) ?? null;
}

/** Whether the kiln was closed on purpose: then it is neither stoked nor salted. */
export function isClosed({ firing, log }: { firing: Firing; log: readonly LoggedEntry[] }): boolean {
  return firing.stage === 'open' || (firing.stage === 'cooling' && lastOf(log, 'clam-up') !== null);
}
