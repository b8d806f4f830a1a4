/** The lines of the log book: what was done and seen, and what was called out, newest first. Pure. */
import { planOfEntry, presentPlan } from '../../protocol/plan-in-log.ts';
import type { TemperatureUnit } from '../../protocol/units.ts';
import type { Entry } from '../firing.ts';
import { entryWords } from '../log-words.ts';
import type { Moment } from '../moment.ts';
import { planChanges } from '../plan/changes.ts';
import { inOneUnit, sayWhen } from '../say.ts';
import { BOOK, type KIND_WORDS, PLAN, PRIORITY_WORDS, SAY, said } from '../words.ts';

/** What a line is about, to show some of them alone. */
export type Kind = Exclude<keyof typeof KIND_WORDS, 'all'>;

export interface LogLine {
  key: string;
  at: number;
  words: string;
  /** Who, where, and when it was written down if that was later. */
  more: string[];
  undone: boolean;
  kind: Kind;
  /** The entry, where it may be mended or taken back. */
  row: Entry | null;
}

/** Rows that the collector writes for itself, or that are shown elsewhere. */
const NOT_SHOWN = new Set(['hello', 'alert', 'ack', 'shelve', 'undo']);
const KINDS: Readonly<Record<string, Kind>> = {
  'light-up': 'fire',
  stoke: 'fire',
  damper: 'fire',
  atmosphere: 'fire',
  hold: 'fire',
  'clam-up': 'fire',
  unbricked: 'fire',
  salt: 'salt',
  'end-salt': 'salt',
  draw: 'salt',
  'cone-bending': 'cones',
  'cone-down': 'cones',
  pulled: 'cones',
  'put-back': 'cones',
};
/** Written down so much later than it happened, or before, it is worth a word. */
const LATER_MS = 2 * 60_000;

/** Notes of the collector's own are in its words; whatever a person wrote stays. */
const OWN_NOTES = new Set(['collector', 'import']);

function wordsOf(row: Entry, moment: Moment, unit: TemperatureUnit): string {
  if (row.log === 'plan') return planWords(row, moment, unit);
  const words = entryWords(row.log, row.json, unit);
  return row.log === 'note' && OWN_NOTES.has(row.where) ? said(words) : words;
}

/** What a changed plan changed, against the one that stood before it. */
function planWords(row: Entry, { firing, log }: Moment, unit: TemperatureUnit): string {
  const plan = planOfEntry(row.json);
  if (!plan) return entryWords(row.log, row.json, unit);
  const earlier = log.filter((one) => one.entry < row.entry && one.id !== row.id);
  const changes = planChanges(presentPlan(firing.firstPlan, earlier), plan, unit);
  return changes.length === 0 ? entryWords(row.log, row.json, unit) : `${PLAN.title}. ${changes.join('. ')}`;
}

/** `on this phone`, `on phone 3f9a`; nothing of an entry whose maker said no place of its own. */
function whereWords(where: string, here: string | null): string[] {
  if (where === '') return [];
  if (where === here) return [BOOK.here];
  const [, code] = /^phone ([0-9a-f]{4})$/.exec(where) ?? [];
  if (code !== undefined) return [BOOK.onPhone(code)];
  return where === 'button' ? [BOOK.atButton] : where === 'collector' ? [BOOK.byItself] : [];
}

/** The time that stood before it was mended, where that was another. */
function mendedWords(row: Entry, byId: ReadonlyMap<string, Entry>, now: number): string[] {
  if (typeof row.json.mends !== 'string') return [];
  let first: Entry | undefined = row;
  // As many steps as there are rows: a ring of names, however it came about, ends.
  for (let step = 0; step < byId.size && first && typeof first.json.mends === 'string'; step += 1) {
    const before = byId.get(first.json.mends);
    if (!before) break;
    first = before;
  }
  return [first && first.at !== row.at ? BOOK.mendedFrom(sayWhen(first.at, now)) : BOOK.mended];
}

/** `here`: what this phone is called, or null where nobody writes (a past firing). */
export function logLines(moment: Moment, unit: TemperatureUnit, here: string | null = null): LogLine[] {
  const { log, now } = moment;
  const byId = new Map(log.map((row) => [row.id, row]));
  const mended = new Set(log.map((row) => row.json.mends));
  const entries = log
    .filter((row) => !NOT_SHOWN.has(row.log) && !mended.has(row.id))
    .map((row): LogLine => {
      const later = !row.pending && Math.abs(row.madeAt - row.at) > LATER_MS && row.json.mends === undefined;
      return {
        key: `${row.id} ${row.entry}`,
        at: row.at,
        words: wordsOf(row, moment, unit),
        more: [
          ...(row.who === '' ? [] : [SAY.by(row.who)]),
          ...whereWords(row.where, here),
          ...(later ? [BOOK.writtenAt(sayWhen(row.madeAt, now))] : []),
          ...mendedWords(row, byId, now),
          ...(row.pending ? [SAY.onItsWay] : []),
        ],
        undone: row.undone,
        kind: KINDS[row.log] ?? 'notes',
        row: row.undone ? null : row,
      };
    });
  const alerts = moment.firing.alerts
    .filter(({ alert }) => alert.priority !== 'note')
    .map(
      ({ alert }): LogLine => ({
        key: alert.id,
        at: alert.raisedAt,
        words: inOneUnit(alert.text, unit),
        more: [PRIORITY_WORDS[alert.priority]],
        undone: false,
        kind: 'calls',
        row: null,
      }),
    );
  return [...entries, ...alerts].sort((a, b) => b.at - a.at);
}
