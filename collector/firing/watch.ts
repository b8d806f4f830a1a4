/**
 * Live watching: joins a link, the pipeline, the archive and the feed. It decides nothing about the kiln; it hands
 * inputs in with their time and carries outputs to where they belong.
 */
import { formatCollectorLine, rangeLength } from '../../protocol/board-lines.ts';
import { formatCaptureLine } from '../../protocol/capture.ts';
import type { LinkStanding } from '../../protocol/live-messages.ts';
import type { LogEntry } from '../../protocol/log-entries.ts';
import { parseTime } from '../../protocol/times.ts';
import type { Archive } from '../archive/archive.ts';
import type { PlanFile } from '../archive/rows.ts';
import type { Clock } from '../clock.ts';
import type { Link, OpenLink } from '../links/link.ts';
import type { Feed } from '../server/feed.ts';
import { type Beginning, keepHello, ONLY_LINK } from './beginning.ts';
import { takeEntry } from './entry.ts';
import { newGatheredNotes } from './gathered-notes.ts';
import { newGuard } from './guard.ts';
import { lampLevel } from './lamp.ts';
import { alertRow, helloRow } from './own-rows.ts';
import { type PipelineInput, type PipelineOutput, pipelineStep } from './pipeline.ts';
import { newWorkQueue } from './work-queue.ts';

/** The lamp is told so often, that the board knows somebody watches. */
const LAMP_EVERY_MS = 10_000;
/** How often the shell looks at its clock, in real time; each whole second of firing time is ticked all the same. */
const LOOK_EVERY_REAL_MS = 250;
/** A port that is to be opened again is given so long, in real time, to hand over what it still holds. */
const REOPEN_GRACE_REAL_MS = 500;
/** A worn or wet button may make contact several times; nobody presses one twice so fast and means it. */
const BOUNCE_MS = 500;
const STOPPING = 'The collector is being stopped: log this again once it is back.';

export interface WatchSettings {
  clock: Clock;
  archive: Archive;
  feed: Feed;
  openLink: OpenLink;
  startedAt: number;
  source: PlanFile['source'];
  /** Told to whoever started the collector, a line each. */
  say: (text: string) => void;
}

export interface Watch {
  /** Takes an entry as a page or the board's button gives it; the answer is null, or why not in a sentence. */
  log(value: unknown, where: string): string | null;
  /** The archive has trouble, or none any more. */
  trouble(text: string | null): void;
  /** Stops. False: not all that was handed in is on the disk yet; called again it is tried again. */
  close(): Promise<boolean>;
}

/** Opens the link and goes on until `close()`. */
export function startWatch(settings: WatchSettings, beginning: Beginning): Watch {
  const { clock, archive, feed, say } = settings;
  const { pipeline, boards, entries } = beginning;
  let standing: LinkStanding = {
    link: ONLY_LINK,
    state: 'connecting',
    text: 'Looking for the board.',
    badLines: 0,
  };
  let droppedLines = 0;
  let lampSent = { level: -1, at: Number.NEGATIVE_INFINITY };
  let madeIds = 0;
  let linesHeard = 0;
  /** Time of the input that is worked on: what is sent on its account is written down with it. */
  let inputAt = Math.floor(clock.now());
  let closed = false;
  let link: Link | null = null;
  let cancelLook: () => void = () => undefined;

  const notes = newGatheredNotes((at, text) => noteOfOurs(at, text));
  const pressedAt = new Map<number, number>();
  const guard = newGuard((sentence) => noteOfOurs(clock.now(), sentence));

  const work = newWorkQueue(workOff);
  const run = (input: PipelineInput): string | null => (closed ? STOPPING : work(input));

  function workOff(input: PipelineInput): string | null {
    inputAt = Math.floor(input.at);
    let outputs: PipelineOutput[] = [];
    let wrong = guard(() => {
      outputs = pipelineStep(pipeline, input);
    });
    for (const output of outputs) wrong = guard(() => carry(output)) ?? wrong;
    return wrong;
  }

  function carry(output: PipelineOutput): void {
    switch (output.kind) {
      case 'reading':
        archive.readings(output);
        feed.publish(output);
        break;
      case 'alert':
        archive.log(alertRow(output));
        feed.publish(output);
        sendLamp(output.at);
        say(`${output.state === 'raised' ? output.priority : 'over'}: ${output.name}: ${output.text}`);
        break;
      case 'standing':
        feed.publish(output);
        sendLamp(output.at);
        break;
      case 'took-hello':
        keepHello(boards, output.hello);
        archive.log(helloRow(output.at, output.hello));
        archive.plan(planFile());
        feed.noteHello(output.at, output.hello);
        break;
      case 'took-log':
        keepLog(output.at, output.log);
        break;
      case 'desk':
        carryDesk(output.output);
        break;
      default:
        feed.publish(output);
    }
  }

  function carryDesk(output: Extract<PipelineOutput, { kind: 'desk' }>['output']): void {
    switch (output.kind) {
      case 'send':
        send(output.line);
        break;
      case 'reopen':
        reopenIfStillSilent();
        break;
      case 'button':
        pressed(output);
        break;
      case 'restarted':
        notes.add({
          about: `restarts ${output.board}`,
          at: output.at,
          count: 1,
          text: `The board ${output.board} has started anew.`,
          summary: (count) =>
            `The board ${output.board} has started anew ${count} times more: look at its supply and its cable.`,
        });
        break;
      case 'missing':
        notes.add({
          about: `gone ${output.board}`,
          at: output.at,
          count: rangeLength(output.from, output.to),
          text: gone(output),
          summary: (count) =>
            `Of board ${output.board} ${count} more readings are gone, the last of them ${output.to}.`,
        });
        break;
      case 'odd-period':
        notes.add({
          about: `period ${output.board}`,
          at: output.at,
          count: 1,
          text: `The board ${output.board} says that it reads every ${output.saidMs} ms, and reads every ${output.keptMs} ms: it is taken by what it does. Mend the period in its sketch.`,
          summary: (count) => `The board ${output.board} has changed its pace ${count} times more.`,
        });
        break;
      case 'silent':
        tellStanding(
          'silent',
          'The port is open, but the board says nothing. Look at its supply and its cable.',
        );
        break;
      case 'heard':
        tellStanding('open', 'The board is heard.');
        break;
      case 'bad':
        tellStanding(standing.state, standing.text);
        break;
    }
  }

  /**
   * If the silence was this program's own (the machine was busy, or slept), what the board said meanwhile lies in the
   * port and comes now: opening anew would throw it away.
   */
  function reopenIfStillSilent(): void {
    const heardBefore = linesHeard;
    clock.after(REOPEN_GRACE_REAL_MS * clock.rate, () => {
      if (!closed && linesHeard === heardBefore) link?.reopen();
    });
  }

  function send(line: string): void {
    link?.send(line);
    archive.capture(formatCaptureLine({ at: inputAt, direction: '>', link: ONLY_LINK, text: line }));
  }

  function sendLamp(at: number): void {
    const level = lampLevel(pipeline.core.standings);
    if (standing.state !== 'open' || (level === lampSent.level && at - lampSent.at < LAMP_EVERY_MS)) return;
    lampSent = { level, at };
    send(formatCollectorLine({ kind: 'lamp', level }));
  }

  function pressed({
    at,
    button,
    seq,
    boot,
  }: {
    at: number;
    button: number;
    seq: number;
    boot: string;
  }): void {
    const pressedBefore = pressedAt.get(button);
    pressedAt.set(button, at);
    if (pressedBefore !== undefined && Math.abs(at - pressedBefore) < BOUNCE_MS) return;
    const meaning = pipeline.core.plan.buttons[String(button)];
    if (!meaning) {
      noteOfOurs(at, `Button ${button} was pressed; the plan gives it no meaning.`);
      return;
    }
    const refused = take(
      { ...meaning, id: `${boot}-${seq}`, at: new Date(at).toISOString() },
      'button',
      clock.now(),
    );
    if (refused !== null) say(refused);
  }

  function noteOfOurs(at: number, note: string): void {
    say(note);
    const refused = take({ log: 'note', note, at: new Date(at).toISOString() }, 'collector', clock.now());
    if (refused !== null) say(refused);
  }

  function take(value: unknown, where: string, at: number): string | null {
    const taken = takeEntry(value, { where, at, known: entries, newId: () => newId(at) });
    return 'refused' in taken ? taken.refused : run({ kind: 'log', at, log: taken.log });
  }

  function newId(at: number): string {
    madeIds += 1;
    return `${Math.floor(at).toString(36)}-${madeIds}`;
  }

  function keepLog(at: number, log: LogEntry): void {
    const { entry } = log;
    const id = entry.id ?? newId(at);
    const happenedAt = entry.at === undefined ? at : (parseTime(entry.at) ?? Date.parse(entry.at));
    const undoes = log.known && entry.log === 'undo' ? (entries.get(id) ?? null) : null;
    const row = {
      at: happenedAt,
      madeAt: at,
      who: entry.who ?? '',
      where: entry.where ?? '',
      log: entry.log,
      json: { ...entry },
    };
    const number = archive.log({ ...row, replaces: undoes });
    archive.capture(formatCaptureLine({ at, direction: '@', link: ONLY_LINK, text: JSON.stringify(entry) }));
    if (undoes === null) entries.set(id, number);
    if (log.known && (log.entry.log === 'plan' || undoes !== null)) archive.plan(planFile());
    feed.publishLog({ entry: number, id, undone: false, ...row });
  }

  const planFile = (): PlanFile => ({
    plan: pipeline.core.plan,
    boards,
    startedAt: settings.startedAt,
    source: settings.source,
  });

  function tellStanding(state: LinkStanding['state'], text: string): void {
    const counts = [...pipeline.desks.values()].flatMap((desk) => Object.values(desk.counts.bad));
    const bad = counts.reduce((sum, count) => sum + count, 0);
    if (state !== standing.state || text !== standing.text) say(text);
    standing = { link: link?.name ?? ONLY_LINK, state, text, badLines: bad + droppedLines };
    feed.setStanding([standing]);
  }

  function look(): void {
    const now = clock.now();
    run({ kind: 'tick', at: now });
    notes.tick(now);
    sendLamp(inputAt);
    cancelLook = clock.after(LOOK_EVERY_REAL_MS * clock.rate, look);
  }

  link = settings.openLink({
    line: (arrivedAt, text, of = ONLY_LINK) => {
      // As written down, so that a rerun of the capture gets the same.
      const at = Math.floor(arrivedAt);
      linesHeard += 1;
      archive.capture(formatCaptureLine({ at, direction: '<', link: of, text }));
      if (!pipeline.desks.has(of)) run({ kind: 'opened', at, link: of });
      run({ kind: 'line', at, link: of, text });
    },
    logged: (at, entry) => {
      const refused = take(entry, 'kiln', at);
      if (refused !== null && !closed) say(refused);
    },
    standing: (state, text) => {
      const was = standing.state;
      tellStanding(state, text);
      // A capture says with its lines which links it has.
      if (settings.source === 'capture') return;
      if (state === 'open' && was !== 'open' && was !== 'silent')
        run({ kind: 'opened', at: clock.now(), link: ONLY_LINK });
      else if (state === 'unplugged' && was !== 'unplugged')
        run({ kind: 'closed', at: clock.now(), link: ONLY_LINK });
    },
    dropped: () => {
      droppedLines += 1;
      tellStanding(standing.state, standing.text);
    },
  });
  feed.setStanding([standing]);
  look();

  return {
    log: (value, where) => take(value, where, clock.now()),
    trouble: (text) => {
      run({ kind: 'trouble', at: clock.now(), what: 'archive', text });
    },
    close: async () => {
      if (!closed) {
        closed = true;
        cancelLook();
        await link?.close();
      }
      return archive.close();
    },
  };
}

function gone({ board, from, to }: { board: string; from: number; to: number }): string {
  return from === to
    ? `Reading ${from} of board ${board} is gone: it keeps it no longer.`
    : `Readings ${from} to ${to} of board ${board} are gone: it keeps them no longer.`;
}
