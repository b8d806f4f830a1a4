/** The log book of a firing that is watched: entries of pages, buttons and our own, to rows and messages. */
import { formatCaptureLine } from '../../protocol/capture.ts';
import { parseTime } from '../../protocol/times.ts';
import type { LogRow, PlanFile } from '../archive/rows.ts';
import { kindInBook } from '../core/log-book.ts';
import { takeEntry } from './entry.ts';
import type { PipelineOutput } from './pipeline.ts';
import { run, say, type WatchEffect, type Watching, type Work } from './watch-state.ts';

/** A worn or wet button may make contact several times; nobody presses one twice so fast and means it. */
const BOUNCE_MS = 500;

export function capture(line: Parameters<typeof formatCaptureLine>[0]): WatchEffect {
  return { kind: 'capture', line: formatCaptureLine(line) };
}

export function pressed(
  work: Work,
  { at, board, boot, seq, button }: { at: number; board: string; boot: string; seq: number; button: number },
): void {
  const { pressedAt, pipeline } = work.state;
  const which = `${board} ${button}`;
  const before = pressedAt.get(which);
  pressedAt.set(which, at);
  if (before !== undefined && Math.abs(at - before) < BOUNCE_MS) return;
  // A board tells its presses again: to a collector that was started anew meanwhile, the id says that it has this one.
  const id = `${boot}-${seq}`;
  const meaning = pipeline.core.plan.buttons[String(button)];
  if (!meaning) {
    logNote(work, at, `Button ${button} was pressed; the plan gives it no meaning.`, id);
    return;
  }
  const entry = { ...meaning, id, at: new Date(at).toISOString() };
  const refused = take(work, entry, 'button');
  if (refused !== null) say(work, refused);
}

/** A note of the collector's own. */
export function logNote(work: Work, at: number, note: string, id?: string): void {
  say(work, note);
  const refused = take(work, { log: 'note', note, id, at: new Date(at).toISOString() }, 'collector');
  if (refused !== null) say(work, refused);
}

/** Takes an entry; the answer is null, or why not in a sentence. */
export function take(work: Work, value: unknown, where: string): string | null {
  const { state, at } = work;
  const taken = takeEntry(value, {
    where,
    at,
    known: state.entries,
    kindOf: (id) => kindInBook(state.pipeline.core.book, id),
    newId: () => newId(state, at),
  });
  if ('refused' in taken) return taken.refused;
  run(work, { kind: 'log', at, log: taken.log });
  return null;
}

function newId(state: Watching, at: number): string {
  state.madeIds += 1;
  return `${Math.floor(at).toString(36)}-${state.madeIds}`;
}

/** A row that only the collector writes. */
export function logRow(work: Work, row: Omit<LogRow, 'entry'>): void {
  work.state.nextEntry += 1;
  work.effects.push({ kind: 'row', row });
}

export function keepLog(work: Work, { at, log }: Extract<PipelineOutput, { kind: 'took-log' }>): void {
  const { state, effects } = work;
  const { entry } = log;
  const id = entry.id ?? newId(state, at);
  const happenedAt = entry.at === undefined ? at : (parseTime(entry.at) ?? Date.parse(entry.at));
  const undoes = log.known && entry.log === 'undo' ? (state.entries.get(id) ?? null) : null;
  const mends =
    log.known && typeof entry.mends === 'string' ? (state.entries.get(entry.mends) ?? null) : null;
  const replaces = undoes ?? mends;
  const row = {
    at: happenedAt,
    madeAt: at,
    who: entry.who ?? '',
    where: entry.where ?? '',
    log: entry.log,
    json: { ...entry },
  };
  const number = state.nextEntry;
  state.nextEntry += 1;
  effects.push({
    kind: 'entry',
    row: { ...row, replaces },
    logged: { entry: number, id, undone: false, ...row, replaces },
  });
  effects.push(capture({ at, direction: '@', link: '', text: JSON.stringify(entry) }));
  if (undoes === null) noteEntry(state.entries, id, number, mends);
  if (log.known && (log.entry.log === 'plan' || undoes !== null))
    effects.push({ kind: 'plan', file: planFile(state) });
}

/** Notes the row of an entry: the ids of what it mends lead to it from now on. */
export function noteEntry(
  entries: Map<string, number>,
  id: string,
  number: number,
  mends: number | null,
): void {
  if (mends !== null) for (const [each, row] of entries) if (row === mends) entries.set(each, number);
  entries.set(id, number);
}

export function planFile({ pipeline, boards, settings }: Watching): PlanFile {
  return {
    plan: pipeline.core.plan,
    boards: [...boards],
    startedAt: settings.startedAt,
    source: settings.source,
  };
}
