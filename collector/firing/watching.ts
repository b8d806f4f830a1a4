/**
 * Live watching as a reducer: what comes from links, pages and the clock goes through the pipeline, and what is to be
 * done about it comes out, in order. Pure: `watch.ts` is the hands. The state is changed in place.
 *
 *     line, standing, entry, look -> pipeline -> { rows, messages for the pages, lines to the boards, words }
 */
import type { LinkStanding } from '../../protocol/live-messages.ts';
import type { Desk } from '../lines/desk.ts';
import { keepHello, ONLY_LINK } from './beginning.ts';
import { deskNote } from './desk-notes.ts';
import { keepsLine, leftOutNote } from './junk.ts';
import { alertRow, helloRow } from './own-rows.ts';
import { type PipelineOutput, pipelineStep, releaseHeld } from './pipeline.ts';
import { watchWall } from './wall-clock.ts';
import { capture, keepLog, logNote, logRow, planFile, pressed, take } from './watch-book.ts';
import { run, say, type WatchEffect, type WatchEvent, type Watching, type Work } from './watch-state.ts';
import { aboutLink, lampLines, type WatchedLink } from './watched-link.ts';

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
      linkOf(state, event.link).lastAt = at;
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
    case 'try-lamp':
      for (const link of state.links.values()) link.lampTriedUntil = Math.floor(at) + event.forMs;
      sendLamps(work);
      if (![...state.links.values()].some((link) => link.state === 'open'))
        work.refused = 'No board is connected: nothing lights up.';
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
  link.lastAt = at;
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
    // Nothing more can come: no desk waits for it any longer, and the last that came was the end.
    const endAt = link.lastAt ?? at;
    const desks = settings.source === 'capture' ? [...pipeline.desks.keys()] : [event.link];
    for (const name of desks) run(work, { kind: 'closed', at: endAt, link: name });
    workOff(work);
    const links = [...state.links.values()];
    if (links.every((each) => each.state === 'finished'))
      state.endedAt = Math.max(...links.map(({ lastAt }) => lastAt ?? at));
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
  if (state !== link.state || text !== link.text) say(work, aboutLink(link, text, work.state.links.size > 1));
  link.state = state;
  link.text = text;
  tellStandings(work);
}

function tellStandings(work: Work): void {
  const { links, pipeline, settings } = work.state;
  const standings = [...links.values()].map((link): LinkStanding => {
    const { name, shown, state, dropped } = link;
    const text = aboutLink(link, link.text, links.size > 1);
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

function tellWallStep(work: Work, wallAt: number): void {
  const text = watchWall(work.state.wall, wallAt, work.at);
  if (text !== null) logNote(work, work.at, text);
}
