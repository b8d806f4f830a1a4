/**
 * The life of an alert once it is raised, by the states of IEC 62682 and ANSI/ISA-18.2: unacknowledged, acknowledged,
 * returned to normal unacknowledged, shelved by a person for a time, suppressed by design (here: by the stage of the
 * firing). Pure: time and stage are handed in. What raises and clears an alert is life.ts.
 */
import type { AlertName, AlertPriority } from '../protocol/alert-names.ts';
import type { KnownLogEntry } from '../protocol/log-entries.ts';
import type { Stage } from '../protocol/stages.ts';
import { MINUTE_MS } from '../protocol/units.ts';
import { isAnsweredBy } from './answers.ts';
import { isSuppressed } from './by-stage.ts';
import type { AlertChange, Fresh } from './life.ts';

/** An alert is shelved for so long unless the entry says otherwise: our own choice. */
const SHELVED_MIN = 30;

export interface Acknowledged {
  at: number;
  who: string | null;
  /** The page (a phone's name, where it has one), the board's button. */
  where: string;
  stage: Stage;
  /** The word of the log entry that answered it by itself: salt that went in, a stoke. Null: somebody said 'heard'. */
  by: string | null;
}

export interface Shelved {
  at: number;
  until: number;
  who: string | null;
}

export interface Standing {
  /** `<name>/<probe or empty>/<raised at>` */
  id: string;
  name: AlertName;
  probe: string | null;
  priority: AlertPriority;
  raisedAt: number;
  /** What it says now; what it said when it was raised stands in the log. */
  text: string;
  returnedAt: number | null;
  acknowledged: Acknowledged | null;
  shelved: Shelved | null;
  suppressed: boolean;
  /** What raised it is over, and it waits to see whether that lasts before it clears. */
  easing: boolean;
}

export interface StandingChange {
  at: number;
  /**
   * `recalled`: the answer was taken back. `changed`: shelved or suppressed, or no more. `eased`: it eases, or no more.
   * `said`: other words.
   */
  change: 'acknowledged' | 'recalled' | 'changed' | 'eased' | 'said';
  /** As it is after the change. */
  standing: Standing;
}

/** Shelves outlast the alert: one that is raised while its shelf holds is silent too. By `<name>/<probe or empty>`. */
export interface Standings {
  alerts: Map<string, Standing>;
  shelves: Map<string, Shelved & { entryId: string | null }>;
  /** Which entry answered which alert (by id), so that an undo can take it back. */
  answers: Map<string, string | null>;
}

export type AlertState =
  | 'unacknowledged'
  | 'easing'
  | 'acknowledged'
  | 'returned-unacknowledged'
  | 'normal'
  | 'shelved'
  | 'suppressed';

export function newStandings(): Standings {
  return { alerts: new Map(), shelves: new Map(), answers: new Map() };
}

export function stateOf({ returnedAt, acknowledged, shelved, suppressed, easing }: Standing): AlertState {
  if (shelved !== null) return 'shelved';
  if (suppressed) return 'suppressed';
  if (returnedAt !== null) return acknowledged === null ? 'returned-unacknowledged' : 'normal';
  if (acknowledged !== null) return 'acknowledged';
  return easing ? 'easing' : 'unacknowledged';
}

export function alertId({ name, probe, at }: Pick<AlertChange, 'name' | 'probe' | 'at'>): string {
  return `${name}/${probe ?? ''}/${at}`;
}

const keyOf = ({ name, probe }: { name: string; probe: string | null }) => `${name}/${probe ?? ''}`;

/** Takes in that an alert was raised or has cleared. The answer is the alert as it stands, or null if none was up. */
export function standingAfter(standings: Standings, change: AlertChange, stage: Stage): Standing | null {
  const { name, probe, priority, at, text } = change;
  const key = keyOf(change);
  const before = standings.alerts.get(key);
  if (change.state === 'cleared') {
    if (!before || before.returnedAt !== null) return null;
    before.returnedAt = at;
    before.easing = false;
    before.text = text;
    return { ...before };
  }
  if (before) standings.answers.delete(before.id);
  const standing: Standing = {
    id: alertId(change),
    name,
    probe,
    priority,
    raisedAt: at,
    text,
    returnedAt: null,
    acknowledged: null,
    shelved: shelfOf(standings, key, at),
    suppressed: isSuppressed(name, stage),
    easing: false,
  };
  standings.alerts.set(key, standing);
  return { ...standing };
}

function shelfOf({ shelves }: Standings, key: string, at: number): Shelved | null {
  const shelf = shelves.get(key);
  if (!shelf || shelf.until <= at) return null;
  const { entryId: _entryId, ...shelved } = shelf;
  return shelved;
}

/** Takes a log entry, made at `at`; `undone` is the entry that an undo took out of the book, or that this one mends. */
export function standingLogged(
  standings: Standings,
  at: number,
  entry: KnownLogEntry,
  undone: KnownLogEntry | null,
  stage: Stage,
): StandingChange[] {
  const undoneId = undone?.id ?? null;
  if (entry.log === 'undo')
    return undoneId === null
      ? []
      : [...recall(standings, at, undoneId), ...unshelve(standings, at, undoneId)];
  if (undoneId !== null) {
    // Mended: it answers nothing anew.
    for (const [alert, by] of standings.answers)
      if (by === undoneId) standings.answers.set(alert, entry.id ?? null);
    return [];
  }
  if (entry.log === 'shelve') return shelve(standings, at, entry);
  const changes: StandingChange[] = [];
  for (const standing of standings.alerts.values()) {
    const deed = entry.log !== 'ack' && standing.returnedAt === null && isAnsweredBy(standing, entry);
    if (!deed && !(entry.log === 'ack' && isMeant(standing, entry.alert, standings))) continue;
    // Whoever answered first has answered; a deed that goes on (salt after salt) is not told each time.
    if (deed && standing.acknowledged !== null) continue;
    standing.acknowledged = {
      at: entry.at === undefined ? at : Date.parse(entry.at),
      who: entry.who || null,
      where: entry.where ?? '',
      stage,
      by: deed ? entry.log : null,
    };
    standings.answers.set(standing.id, entry.id ?? null);
    changes.push({ at, change: 'acknowledged', standing: { ...standing } });
  }
  return changes;
}

/**
 * An alert is named by its id, or all that are up by their name. Whoever has heard that the kiln falls has heard that it
 * stalls.
 */
function isMeant({ id, name, returnedAt }: Standing, named: string, { alerts }: Standings): boolean {
  if (id === named) return true;
  if (returnedAt !== null) return false;
  return name === named || (name === 'stall' && isFall(alerts.get('falling/'), named));
}

function isFall(fall: Standing | undefined, named: string): boolean {
  return fall !== undefined && fall.returnedAt === null && (named === fall.name || named === fall.id);
}

function recall({ alerts, answers }: Standings, at: number, entryId: string): StandingChange[] {
  const changes: StandingChange[] = [];
  for (const standing of alerts.values()) {
    if (answers.get(standing.id) !== entryId) continue;
    answers.delete(standing.id);
    standing.acknowledged = null;
    changes.push({ at, change: 'recalled', standing: { ...standing } });
  }
  return changes;
}

function shelve(
  standings: Standings,
  at: number,
  entry: Extract<KnownLogEntry, { log: 'shelve' }>,
): StandingChange[] {
  const shelved: Shelved = {
    at,
    until: at + (entry.minutes ?? SHELVED_MIN) * MINUTE_MS,
    who: entry.who || null,
  };
  for (const [key, standing] of standings.alerts) {
    if (isMeant(standing, entry.alert, standings))
      standings.shelves.set(key, { ...shelved, entryId: entry.id ?? null });
  }
  return standingTick(standings, at, null);
}

function unshelve(standings: Standings, at: number, entryId: string): StandingChange[] {
  for (const [key, shelf] of standings.shelves) if (shelf.entryId === entryId) standings.shelves.delete(key);
  return standingTick(standings, at, null);
}

/** What time and the stage (null: as it was) change: a shelf that is over, an alert that this stage suppresses. */
export function standingTick(standings: Standings, at: number, stage: Stage | null): StandingChange[] {
  const changes: StandingChange[] = [];
  for (const [key, standing] of standings.alerts) {
    if (standing.returnedAt !== null) continue;
    const shelved = shelfOf(standings, key, at);
    const suppressed = stage === null ? standing.suppressed : isSuppressed(standing.name, stage);
    if (shelved?.until === standing.shelved?.until && suppressed === standing.suppressed) continue;
    standing.shelved = shelved;
    standing.suppressed = suppressed;
    changes.push({ at, change: 'changed', standing: { ...standing } });
  }
  return changes;
}

/** An alert that stands says something else now, or eases, or eases no more. */
export function standingSays(standings: Standings, at: number, fresh: Fresh): StandingChange[] {
  const standing = standings.alerts.get(keyOf(fresh));
  if (!standing || standing.returnedAt !== null) return [];
  standing.text = fresh.text ?? standing.text;
  const change = standing.easing === fresh.easing ? 'said' : 'eased';
  standing.easing = fresh.easing;
  return [{ at, change, standing: { ...standing } }];
}
