/**
 * Live watching as a reducer: what comes from links, pages and the clock goes through the pipeline, and what is to be
 * done about it comes out, in order. Pure: `watch.ts` is the hands. The state is changed in place.
 *
 *     line, standing, entry, look -> pipeline -> { rows, messages for the pages, lines to the boards, words }
 */
import { formatCaptureLine } from '../../protocol/capture.ts';
import type { LinkStanding, LoggedEntry } from '../../protocol/live-messages.ts';
import { parseTime } from '../../protocol/times.ts';
import type { LogRow, PlanFile } from '../archive/rows.ts';
import type { CoreOutput, ReadingOutput, TroubleWith } from '../core/inputs.ts';
import type { Desk } from '../lines/desk.ts';
import { type Beginning, keepHello, ONLY_LINK } from './beginning.ts';
import { deskNote } from './desk-notes.ts';
import { takeEntry } from './entry.ts';
import { type GatheredNotes, newGatheredNotes } from './gathered-notes.ts';
import { type Guard, newGuard } from './guard.ts';
import { keepsLine, leftOutNote } from './junk.ts';
import { alertRow, helloRow } from './own-rows.ts';
import { type PipelineInput, type PipelineOutput, pipelineStep, releaseHeld } from './pipeline.ts';
import { newWallWatch, type WallWatch, watchWall } from './wall-clock.ts';
import { lampLines, type WatchedLink, watchedLink } from './watched-link.ts';

/** A worn or wet button may make contact several times; nobody presses one twice so fast and means it. */
const BOUNCE_MS = 500;

/** `at`: firing time, epoch ms. `heardTo`: up to when all that came over the links has been looked at; see pipeline.ts. */
export type WatchEvent = { at: number; heardTo: number } & (
  | { kind: 'line'; link: string; of: string; text: string }
  | { kind: 'logged'; link: string; entry: unknown }
  | { kind: 'standing'; link: string; state: LinkStanding['state']; text: string }
  | { kind: 'dropped'; link: string }
  | { kind: 'entry'; value: unknown; where: string }
  | { kind: 'trouble'; what: TroubleWith; text: string | null }
  /** A port that was to be opened again has been given time to hand over what it held. */
  | { kind: 'still-silent'; link: string; heardBefore: number }
  /** Several times a second. `wallAt`: what the system's clock says, where that is of interest. */
  | { kind: 'look'; wallAt: number | null }
  | { kind: 'closing' }
);

/** What the hands do, in this order. */
export type WatchEffect =
  | { kind: 'send'; link: string; line: string }
  | { kind: 'capture'; line: string }
  | { kind: 'reading'; output: ReadingOutput }
  | { kind: 'publish'; output: CoreOutput }
  | { kind: 'row'; row: Omit<LogRow, 'entry'> }
  | { kind: 'entry'; row: Omit<LogRow, 'entry'>; logged: LoggedEntry }
  | { kind: 'hello'; at: number; hello: PlanFile['boards'][number] }
  | { kind: 'plan'; file: PlanFile }
  | { kind: 'standings'; links: LinkStanding[] }
  | { kind: 'say'; text: string }
  | { kind: 'ask-later'; link: string; heardBefore: number }
  | { kind: 'reopen'; link: string }
  | { kind: 'skip'; ms: number };

export interface WatchingSettings {
  startedAt: number;
  source: PlanFile['source'];
  /** As the desks know them: '' for the only one. `shown`: what the page calls it. */
  links: readonly { name: string; shown: string }[];
  /** Number of the next row of log.csv. */
  nextEntry: number;
}

export interface Watching extends Beginning {
  settings: WatchingSettings;
  links: Map<string, WatchedLink>;
  nextEntry: number;
  madeIds: number;
  pressedAt: Map<string, number>;
  notes: GatheredNotes;
  /** Notes of the collector's own that are still to be logged. */
  toNote: { at: number; text: string }[];
  guard: Guard;
  wall: WallWatch;
  /** All links have come to their end: the firing's time stands still. */
  endedAt: number | null;
}

export function newWatching(settings: WatchingSettings, beginning: Beginning): Watching {
  const toNote: Watching['toNote'] = [];
  const state: Watching = {
    ...beginning,
    settings,
    links: new Map(settings.links.map(({ name, shown }) => [name, watchedLink(name, shown)])),
    nextEntry: settings.nextEntry,
    madeIds: 0,
    pressedAt: new Map(),
    notes: newGatheredNotes((at, text) => toNote.push({ at, text })),
    toNote,
    guard: newGuard((text) => toNote.push({ at: state.pipeline.core.now ?? settings.startedAt, text })),
    wall: newWallWatch(),
    endedAt: null,
  };
  return state;
}

/** One event's work: what comes of it, and what of it was refused. */
interface Work {
  state: Watching;
  at: number;
  heardTo: number;
  waiting: PipelineInput[];
  effects: WatchEffect[];
  refused: string | null;
}

/** `refused`: why the event was not taken, in a sentence; null where it was. */
export interface Watched {
  effects: WatchEffect[];
  refused: string | null;
}

export function watchStep(state: Watching, event: WatchEvent): Watched {
  const at = Math.min(event.at, state.endedAt ?? event.at);
  const work: Work = { state, at, heardTo: event.heardTo, waiting: [], effects: [], refused: null };
  takeEvent(work, event);
  workOff(work);
  do {
    for (const note of state.toNote.splice(0)) logNote(work, note.at, note.text);
    workOff(work);
  } while (state.toNote.length > 0);
  return { effects: work.effects, refused: work.refused };
}

function takeEvent(work: Work, event: WatchEvent): void {
  const { state, at } = work;
  switch (event.kind) {
    case 'line':
      takeLine(work, event);
      break;
    case 'logged': {
      const refused = take(work, event.entry, 'kiln');
      if (refused !== null) say(work, refused);
      break;
    }
    case 'standing':
      takeStanding(work, event);
      break;
    case 'dropped': {
      linkOf(state, event.link).dropped += 1;
      break;
    }
    case 'entry':
      work.refused = take(work, event.value, event.where);
      break;
    case 'trouble':
      run(work, { kind: 'trouble', at, what: event.what, text: event.text });
      break;
    case 'still-silent':
      if (linkOf(state, event.link).linesHeard === event.heardBefore)
        work.effects.push({ kind: 'reopen', link: event.link });
      break;
    case 'look':
      if (event.wallAt !== null) tellWallStep(work, event.wallAt);
      if (state.endedAt === null) run(work, { kind: 'tick', at });
      workOff(work);
      state.notes.tick(at);
      for (const link of state.links.values()) tellLeftOut(work, link);
      sendLamps(work);
      tellStandings(work);
      break;
    case 'closing':
      // Nothing that came is lost: what waited for a reading on time goes in as it is.
      for (const link of state.links.values()) tellLeftOut(work, link);
      state.guard(() => releaseHeld(state.pipeline, (output) => carry(work, output)));
      break;
  }
}

function run(work: Work, input: PipelineInput): void {
  work.waiting.push({ heardTo: work.heardTo, ...input });
}

/** One input after the other, each to its end: what an input leads to (a button's log entry, say) comes after it. */
function workOff(work: Work): void {
  const { pipeline, guard } = work.state;
  for (let input = work.waiting.shift(); input !== undefined; input = work.waiting.shift()) {
    const next = input;
    let outputs: PipelineOutput[] = [];
    const wrong = guard(() => {
      outputs = pipelineStep(pipeline, next);
    });
    work.refused ??= wrong;
    for (const output of outputs) work.refused ??= guard(() => carry(work, output));
  }
}

function takeLine(work: Work, { link: name, of, text }: Extract<WatchEvent, { kind: 'line' }>): void {
  const { state } = work;
  // As written down, so that a rerun of the capture gets the same.
  const at = Math.floor(work.at);
  const link = linkOf(state, name);
  link.linesHeard += 1;
  const key = of === ONLY_LINK ? name : of;
  if (!state.pipeline.desks.has(key) && state.settings.source === 'capture')
    run(work, { kind: 'opened', at, link: key });
  workOff(work);
  const badBefore = badLines(state.pipeline.desks.get(key));
  const place = work.effects.length;
  run(work, { kind: 'line', at, link: key, text });
  workOff(work);
  const junk = badLines(state.pipeline.desks.get(key)) > badBefore;
  if (!junk) tellLeftOut(work, link);
  if (keepsLine(link.junk, junk))
    work.effects.splice(place, 0, capture({ at, direction: '<', link: key, text }));
}

function capture(line: Parameters<typeof formatCaptureLine>[0]): WatchEffect {
  return { kind: 'capture', line: formatCaptureLine(line) };
}

function tellLeftOut(work: Work, { junk }: WatchedLink): void {
  const note = junk.lines === 0 || work.state.endedAt !== null ? null : leftOutNote(junk);
  if (note !== null)
    work.effects.push(capture({ at: Math.floor(work.at), direction: '#', link: '', text: note }));
}

function badLines(desk: Desk | undefined): number {
  return Object.values(desk?.counts.bad ?? {}).reduce((sum, count) => sum + count, 0);
}

function takeStanding(work: Work, event: Extract<WatchEvent, { kind: 'standing' }>): void {
  const { state, at } = work;
  const { pipeline, settings } = state;
  const link = linkOf(state, event.link);
  const was = link.state;
  setStanding(work, link, event.state, event.text);
  if (event.state === 'finished') {
    // Nothing more can come: no desk waits for it any longer.
    const desks = settings.source === 'capture' ? [...pipeline.desks.keys()] : [event.link];
    for (const name of desks) run(work, { kind: 'closed', at, link: name });
    workOff(work);
    if ([...state.links.values()].every((each) => each.state === 'finished')) state.endedAt = at;
    return;
  }
  // A capture says with its lines which links it has.
  if (settings.source === 'capture') return;
  if (event.state === 'open' && was !== 'open' && was !== 'silent')
    run(work, { kind: 'opened', at, link: event.link });
  else if (event.state === 'unplugged' && was !== 'unplugged')
    run(work, { kind: 'closed', at, link: event.link });
}

function setStanding(work: Work, link: WatchedLink, state: LinkStanding['state'], text: string): void {
  if (state !== link.state || text !== link.text)
    say(work, work.state.links.size > 1 ? `${link.shown}: ${text}` : text);
  link.state = state;
  link.text = text;
  tellStandings(work);
}

function tellStandings(work: Work): void {
  const { links, pipeline, settings } = work.state;
  const standings = [...links.values()].map(({ name, shown, state, text, dropped }): LinkStanding => {
    const desks = settings.source === 'capture' ? [...pipeline.desks.values()] : [pipeline.desks.get(name)];
    const bad = desks.reduce((sum, desk) => sum + badLines(desk), 0);
    return { link: shown, state, text, badLines: bad + dropped };
  });
  work.effects.push({ kind: 'standings', links: standings });
}

/** The link that a desk belongs to: a played capture is one link with several desks. */
function linkOf(state: Watching, name: string): WatchedLink {
  const link = state.links.get(name) ?? [...state.links.values()][0];
  if (link === undefined) throw new Error(`There is no link ${name}.`);
  return link;
}

function carry(work: Work, output: PipelineOutput): void {
  const { state, effects } = work;
  switch (output.kind) {
    case 'reading':
      effects.push({ kind: 'reading', output });
      break;
    case 'alert':
      logRow(work, alertRow(output));
      effects.push({ kind: 'publish', output });
      sendLamps(work);
      say(work, `${output.state === 'raised' ? output.priority : 'over'}: ${output.name}: ${output.text}`);
      break;
    case 'standing':
      effects.push({ kind: 'publish', output });
      sendLamps(work);
      break;
    case 'took-hello':
      keepHello(state.boards, output.hello);
      logRow(work, helloRow(output.at, output.hello));
      effects.push({ kind: 'plan', file: planFile(state) });
      effects.push({ kind: 'hello', at: output.at, hello: output.hello });
      break;
    case 'took-log':
      keepLog(work, output);
      break;
    case 'desk':
      carryDesk(work, output);
      break;
    default:
      effects.push({ kind: 'publish', output });
  }
}

function carryDesk(work: Work, { link: name, output }: Extract<PipelineOutput, { kind: 'desk' }>): void {
  const { state } = work;
  const link = linkOf(state, name);
  switch (output.kind) {
    case 'send':
      send(work, name, output.line);
      break;
    case 'reopen':
      // If the silence was this program's own, what the board said meanwhile lies in the port and comes now.
      work.effects.push({ kind: 'ask-later', link: link.name, heardBefore: link.linesHeard });
      break;
    case 'button':
      pressed(work, output);
      break;
    case 'silent':
      setStanding(
        work,
        link,
        'silent',
        'The port is open, but the board says nothing. Look at its supply and its cable.',
      );
      break;
    case 'heard':
      setStanding(work, link, 'open', 'The board is heard.');
      break;
    case 'bad':
      break;
    default: {
      if (output.kind === 'behind') work.effects.push({ kind: 'skip', ms: output.byMs });
      const note = deskNote(output, state.links.size > 1 ? link.shown : null);
      if (note !== null) state.notes.add({ ...note, at: output.at });
    }
  }
}

/** What is sent on an input's account is written down with its time. */
function send(work: Work, link: string, line: string): void {
  work.effects.push({ kind: 'send', link, line });
  work.effects.push(capture({ at: Math.floor(work.at), direction: '>', link, text: line }));
}

function sendLamps(work: Work): void {
  const { links, pipeline } = work.state;
  for (const { link, line } of lampLines(links.values(), pipeline.core.standings, Math.floor(work.at)))
    send(work, link, line);
}

function pressed(
  work: Work,
  { at, board, boot, seq, button }: { at: number; board: string; boot: string; seq: number; button: number },
): void {
  const { pressedAt, pipeline } = work.state;
  const which = `${board} ${button}`;
  const before = pressedAt.get(which);
  pressedAt.set(which, at);
  if (before !== undefined && Math.abs(at - before) < BOUNCE_MS) return;
  const meaning = pipeline.core.plan.buttons[String(button)];
  if (!meaning) {
    logNote(work, at, `Button ${button} was pressed; the plan gives it no meaning.`);
    return;
  }
  const entry = { ...meaning, id: `${boot}-${seq}`, at: new Date(at).toISOString() };
  const refused = take(work, entry, 'button');
  if (refused !== null) say(work, refused);
}

function tellWallStep(work: Work, wallAt: number): void {
  const text = watchWall(work.state.wall, wallAt, work.at);
  if (text !== null) logNote(work, work.at, text);
}

function logNote(work: Work, at: number, note: string): void {
  say(work, note);
  const refused = take(work, { log: 'note', note, at: new Date(at).toISOString() }, 'collector');
  if (refused !== null) say(work, refused);
}

function take(work: Work, value: unknown, where: string): string | null {
  const { state, at } = work;
  const taken = takeEntry(value, { where, at, known: state.entries, newId: () => newId(state, at) });
  if ('refused' in taken) return taken.refused;
  run(work, { kind: 'log', at, log: taken.log });
  return null;
}

function newId(state: Watching, at: number): string {
  state.madeIds += 1;
  return `${Math.floor(at).toString(36)}-${state.madeIds}`;
}

function logRow(work: Work, row: Omit<LogRow, 'entry'>): number {
  const number = work.state.nextEntry;
  work.state.nextEntry += 1;
  work.effects.push({ kind: 'row', row });
  return number;
}

function keepLog(work: Work, { at, log }: Extract<PipelineOutput, { kind: 'took-log' }>): void {
  const { state, effects } = work;
  const { entry } = log;
  const id = entry.id ?? newId(state, at);
  const happenedAt = entry.at === undefined ? at : (parseTime(entry.at) ?? Date.parse(entry.at));
  const undoes = log.known && entry.log === 'undo' ? (state.entries.get(id) ?? null) : null;
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
    row: { ...row, replaces: undoes },
    logged: { entry: number, id, undone: false, ...row },
  });
  effects.push(capture({ at, direction: '@', link: '', text: JSON.stringify(entry) }));
  if (undoes === null) state.entries.set(id, number);
  if (log.known && (log.entry.log === 'plan' || undoes !== null))
    effects.push({ kind: 'plan', file: planFile(state) });
}

function planFile({ pipeline, boards, settings }: Watching): PlanFile {
  return {
    plan: pipeline.core.plan,
    boards: [...boards],
    startedAt: settings.startedAt,
    source: settings.source,
  };
}

function say(work: Work, text: string): void {
  work.effects.push({ kind: 'say', text });
}
