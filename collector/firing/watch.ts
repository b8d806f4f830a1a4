/**
 * Live watching: joins a link, the pipeline, the archive and the feed. It decides nothing about the kiln; it hands
 * inputs in with their time and carries outputs to where they belong.
 */
import { formatCollectorLine, type Hello, rangeLength } from '../../protocol/board-lines.ts';
import { formatCaptureLine } from '../../protocol/capture.ts';
import type { LinkStanding } from '../../protocol/live-messages.ts';
import { KNOWN_LOG_WORDS, type LogEntry, parseLogEntry } from '../../protocol/log-entries.ts';
import { defaultPlan } from '../../protocol/plan.ts';
import { parseTime } from '../../protocol/times.ts';
import type { Archive } from '../archive/archive.ts';
import type { PlanFile } from '../archive/rows.ts';
import type { Clock } from '../clock.ts';
import type { AlertOutput, CoreInput, CoreOutput } from '../core/inputs.ts';
import { step } from '../core/step.ts';
import { deskStep } from '../lines/desk.ts';
import type { Link, OpenLink } from '../links/link.ts';
import type { Feed } from '../server/feed.ts';
import { newGatheredNotes } from './gathered-notes.ts';
import { newGuard } from './guard.ts';
import { type LampState, lampAlert, lampHeard, lampLevel } from './lamp.ts';
import {
  deskOf,
  newPipeline,
  type Pipeline,
  type PipelineInput,
  type PipelineOutput,
  pipelineStep,
} from './pipeline.ts';

/** The desk's name for the only link. */
const ONLY_LINK = '';
/** The lamp is told so often, that the board knows somebody watches. */
const LAMP_EVERY_MS = 10_000;
/** How often the shell looks at its clock, in real time; each whole second of firing time is ticked all the same. */
const LOOK_EVERY_REAL_MS = 250;
/** A port that is to be opened again is given so long, in real time, to hand over what it still holds. */
const REOPEN_GRACE_REAL_MS = 500;
/** A tick waits so long, in real time, for a reading that is on its way. */
const SLACK_REAL_MS = 2000;
/** Longest span of an entry's own time before the present, and after it (its maker's clock may be off), that is believed. */
const ENTRY_PAST_MS = 30 * 86_400_000;
const ENTRY_AHEAD_MS = 3_600_000;
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

/** What is known of a firing before its link opens: from the archive, or nothing yet. */
export interface Beginning {
  pipeline: Pipeline;
  boards: Hello[];
  /** The archive's entry number of each log entry's id. */
  entries: Map<string, number>;
  lamp: LampState;
}

/** Everything as it is before the first input. The plan becomes the firing's first log entry. */
export function freshBeginning(clock: Clock): Beginning {
  const slackMs = SLACK_REAL_MS * clock.rate;
  return { pipeline: newPipeline(defaultPlan(), slackMs), boards: [], entries: new Map(), lamp: new Map() };
}

/** Feeds one input of a recorded firing again, as it went in the first time: to the core, the desk's memory and the feed. */
export function relive(beginning: Beginning, input: CoreInput, feed: Feed): CoreOutput[] {
  const { pipeline } = beginning;
  const desk = deskOf(pipeline, ONLY_LINK);
  if (input.kind === 'hello') {
    keepHello(beginning.boards, input.hello);
    feed.noteHello(input.at, input.hello);
    deskStep(desk, { kind: 'adopt-hello', hello: input.hello });
  } else if (input.kind === 'reading') {
    deskStep(desk, { kind: 'adopt', row: input });
  }
  const stepped = step(pipeline.core, input);
  pipeline.core = stepped.state;
  if (!(input.kind === 'reading' && input.late)) pipeline.lastWasReading = input.kind === 'reading';
  for (const output of stepped.outputs) {
    feed.publish(output);
    if (output.kind === 'alert') lampAlert(beginning.lamp, output);
  }
  if (input.kind === 'log' && input.log.known && input.log.entry.log === 'ack')
    lampHeard(beginning.lamp, input.log.entry.alert);
  return stepped.outputs;
}

function keepHello(boards: Hello[], hello: Hello): void {
  const place = boards.findIndex((board) => board.board === hello.board);
  if (place < 0) boards.push(hello);
  else boards[place] = hello;
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
  const { pipeline, boards, entries, lamp } = beginning;
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
  const waiting: PipelineInput[] = [];
  /** Time of the input that is worked on: what is sent on its account is written down with it. */
  let inputAt = Math.floor(clock.now());
  let closed = false;
  let link: Link | null = null;
  let cancelLook: () => void = () => undefined;

  const notes = newGatheredNotes((at, text) => noteOfOurs(at, text));
  const pressedAt = new Map<number, number>();
  const guard = newGuard((sentence) => noteOfOurs(clock.now(), sentence));

  /**
   * What an output leads to (a button's log entry, say) waits until all outputs before it are where they belong. The
   * answer is null, or why the input was not worked off, in a sentence.
   */
  const run = (input: PipelineInput): string | null => {
    if (closed) return STOPPING;
    waiting.push(input);
    if (waiting.length > 1) return null;
    let wrong: string | null = null;
    for (let next = waiting[0]; next !== undefined; next = waiting[0]) {
      const failed = workOff(next);
      if (next === input) wrong = failed;
      waiting.shift();
    }
    return wrong;
  };

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
        lampAlert(lamp, output);
        sendLamp(output.at);
        say(`${output.state === 'raised' ? output.priority : 'over'}: ${output.name}: ${output.text}`);
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
    const level = lampLevel(lamp);
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
    const parsed = parseLogEntry(value);
    if (!parsed)
      return 'This entry cannot be read: it has no short word for what was done, or too much in it.';
    const { entry } = parsed;
    if (!parsed.known && where !== 'kiln' && KNOWN_LOG_WORDS.has(entry.log)) {
      return `This entry is not whole: '${entry.log}' lacks something, or holds what cannot be.`;
    }
    if (entry.log === 'undo' && parsed.known) {
      if (!entries.has(String(entry.id))) return 'There is no such entry to take back.';
    } else if (entry.id !== undefined && entries.has(entry.id)) {
      return null;
    }
    entry.id ??= newId(at);
    entry.where ??= where;
    if (entry.at !== undefined && !isBelieved(Date.parse(entry.at), at)) delete entry.at;
    return run({ kind: 'log', at, log: parsed });
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
    if (log.known && log.entry.log === 'plan') archive.plan(planFile());
    if (log.known && log.entry.log === 'ack') lampHeard(lamp, log.entry.alert);
    feed.publishLog({ entry: number, id, undone: false, ...row });
  }

  const planFile = (): PlanFile => ({
    plan: pipeline.core.plan,
    boards,
    startedAt: settings.startedAt,
    source: settings.source,
  });

  function tellStanding(state: LinkStanding['state'], text: string): void {
    const counts = pipeline.desks.get(ONLY_LINK)?.counts;
    const bad = counts ? Object.values(counts.bad).reduce((sum, count) => sum + count, 0) : 0;
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
    line: (arrivedAt, text) => {
      // As written down, so that a rerun of the capture gets the same.
      const at = Math.floor(arrivedAt);
      linesHeard += 1;
      archive.capture(formatCaptureLine({ at, direction: '<', link: ONLY_LINK, text }));
      run({ kind: 'line', at, link: ONLY_LINK, text });
    },
    logged: (at, entry) => {
      const refused = take(entry, 'kiln', at);
      if (refused !== null && !closed) say(refused);
    },
    standing: (state, text) => {
      const was = standing.state;
      tellStanding(state, text);
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
      run({ kind: 'trouble', at: clock.now(), text });
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

export function alertRow({ at, name, state, probe, priority, text }: AlertOutput) {
  return {
    at,
    madeAt: at,
    who: '',
    where: 'collector',
    log: 'alert',
    json: { name, state, probe, priority, text },
    replaces: null,
  };
}

function helloRow(at: number, hello: Hello) {
  return { at, madeAt: at, who: '', where: 'collector', log: 'hello', json: { ...hello }, replaces: null };
}

function isBelieved(ownTime: number, at: number): boolean {
  return ownTime >= at - ENTRY_PAST_MS && ownTime <= at + ENTRY_AHEAD_MS;
}

function gone({ board, from, to }: { board: string; from: number; to: number }): string {
  return from === to
    ? `Reading ${from} of board ${board} is gone: it keeps it no longer.`
    : `Readings ${from} to ${to} of board ${board} are gone: it keeps them no longer.`;
}
