/** What is made of the lines of a board that speaks the board's lines. */
import { type BoardLine, type Hello, rangeLength } from '../../protocol/board-lines.ts';
import { giveUp, isAsking } from './asks.ts';
import {
  type Arrived,
  type ArrivedPress,
  type Boot,
  follows,
  type Judged,
  judge,
  newBoot,
  settle,
  startedAfter,
} from './boot.ts';
import { carryOn } from './counter32.ts';
import { ASK_AGAIN_MS, askHello, countBad, type Desk, forgetPlain, noteHeard } from './desk-state.ts';
import type { DeskOutput } from './desk-types.ts';
import {
  askMissing,
  isKnownPress,
  takeLate,
  takeLive,
  takePress,
  tellAllMissing,
  tellMissing,
} from './take.ts';

const MOST_ASIDE = 1000;
const MOST_BOARDS = 8;
/** So many readings in a row that fit together but not the boot: it is the desk that is wrong about the boot. */
const RUN_OF_ITS_OWN = 3;
/** A press may be told so much later than the newest reading. */
const PRESS_LATE_MS = 10_000;

/** Takes in a good line. */
export function takeFramed(desk: Desk, at: number, text: string, line: BoardLine, out: DeskOutput[]): void {
  desk.framed = true;
  forgetPlain(desk);
  noteHeard(desk, at, out);
  if (line.kind === 'hello') {
    const boot = takeHello(desk, line.hello, at, out);
    askMissing(desk, boot, at, out);
    return;
  }
  const boot = desk.current;
  if (boot === null) {
    countBad(desk, at, 'before-hello', text, out);
    askHello(desk, at, ASK_AGAIN_MS, out);
    return;
  }
  if (line.kind === 'reading') takeReading(desk, boot, { ...line, at, text }, out);
  else if (line.kind === 'button') takeButton(desk, boot, { ...line, at, text }, out);
  else takeMissing(desk, boot, line, at, out);
  askMissing(desk, boot, at, out);
}

function takeReading(desk: Desk, boot: Boot, reading: Arrived, out: DeskOutput[]): void {
  const { at } = reading;
  if (reading.values.length !== boot.hello.probes.length) {
    countBad(desk, at, 'wrong-count', reading.text, out);
    askHello(desk, at, ASK_AGAIN_MS, out);
    return;
  }
  const judged = judge(boot, reading);
  if (enter(desk, boot, reading, judged, out)) {
    // Nobody asked for it: a board that is up anew may be saying the same again.
    if (judged.verdict === 'duplicate' && !isAsking(boot.asks)) askHello(desk, at, ASK_AGAIN_MS, out);
  } else {
    putAside(desk, reading, out);
  }
}

/** Enters a reading whose boot is known; false if it cannot be. */
function enter(desk: Desk, boot: Boot, reading: Arrived, judged: Judged, out: DeskOutput[]): boolean {
  switch (judged.verdict) {
    case 'live':
      takeLive(desk, boot, reading, judged, out);
      return true;
    case 'late':
      takeLate(desk, boot, reading, judged, out);
      return true;
    case 'duplicate':
      desk.counts.duplicates += 1;
      return true;
    default:
      return false;
  }
}

function takeButton(desk: Desk, boot: Boot, press: ArrivedPress, out: DeskOutput[]): void {
  const last = boot.presses.at(-1);
  const uptimeMs = boot.newest?.uptimeMs ?? press.uptimeMs;
  const fits =
    carryOn(press.uptimeMs, uptimeMs) >= uptimeMs - PRESS_LATE_MS &&
    (last === undefined || carryOn(press.seq, last.seq) > last.seq);
  if (fits || isKnownPress(boot, press)) takePress(desk, boot, press, out);
  else putAside(desk, press, out);
}

function takeMissing(
  desk: Desk,
  boot: Boot,
  line: { from: number; to: number },
  at: number,
  out: DeskOutput[],
): void {
  if (boot.newest === null) return;
  const from = carryOn(line.from, boot.newest.seq);
  const gone = giveUp(boot.asks, from, from + rangeLength(line.from, line.to) - 1);
  tellMissing(desk, boot, gone, at, out);
}

function putAside(desk: Desk, line: Arrived | ArrivedPress, out: DeskOutput[]): void {
  desk.counts.aside += 1;
  desk.aside.push(line);
  if (desk.aside.length > MOST_ASIDE) {
    const oldest = desk.aside.shift();
    if (oldest) countBad(desk, line.at, 'does-not-fit', oldest.text, out);
  }
  askHello(desk, line.at, ASK_AGAIN_MS, out);
}

function takeHello(desk: Desk, hello: Hello, at: number, out: DeskOutput[]): Boot {
  const known = desk.boots.get(hello.board);
  const otherBoard = desk.current !== null && desk.current.hello.board !== hello.board;
  if (otherBoard) dropAside(desk, at, out);
  desk.confirmed = true;
  if (known !== undefined && known.hello.boot === hello.boot) {
    const news = otherBoard || JSON.stringify(known.hello) !== JSON.stringify(hello);
    known.hello = hello;
    desk.current = known;
    if (news) out.push({ kind: 'hello', at: Math.round(at), hello });
    return settleAside(desk, known, at, null, out);
  }
  if (known !== undefined) {
    tellAllMissing(desk, known, at, out);
    out.push({ kind: 'restarted', at: Math.round(at), board: hello.board, boot: hello.boot });
  }
  out.push({ kind: 'hello', at: Math.round(at), hello });
  const boot = newBoot(hello, known ?? null);
  remember(desk, boot);
  return settleAside(desk, boot, at, known ?? null, out);
}

/** From now on this boot speaks on the link. */
export function remember(desk: Desk, boot: Boot): void {
  const { board } = boot.hello;
  desk.boots.delete(board);
  desk.boots.set(board, boot);
  desk.current = boot;
  const [oldest] = desk.boots.keys();
  if (desk.boots.size > MOST_BOARDS && oldest !== undefined) desk.boots.delete(oldest);
}

/**
 * It is known now that the board is in `boot`: what waited is entered if it can be of it. `before` is the boot that
 * ended, if it has just turned out that one did. The answer is the boot as it then is.
 */
export function settleAside(
  desk: Desk,
  boot: Boot,
  at: number,
  before: Boot | null,
  out: DeskOutput[],
): Boot {
  boot.heardAt = at;
  const waiting = desk.aside;
  desk.aside = [];
  let unfit: Arrived[] = [];
  for (const line of waiting) {
    if (line.kind === 'button') takePress(desk, boot, line, out);
    else if (!isOfBoot(line, boot, before) || !enter(desk, boot, line, settle(boot, line), out))
      unfit.push(line);
  }
  const run = before === null ? runOfItsOwn(boot, unfit) : [];
  unfit = unfit.slice(0, unfit.length - run.length);
  for (const { text } of unfit) countBad(desk, at, 'does-not-fit', text, out);
  return run.length > 0 ? beginAnew(desk, boot, run, at, out) : boot;
}

function isOfBoot(line: Arrived, boot: Boot, before: Boot | null): boolean {
  return (
    line.values.length === boot.hello.probes.length &&
    (before === null || startedAfter(line, before.newestHeardAt - 2 * boot.hello.periodMs))
  );
}

/**
 * The readings at the end of `unfit` that follow one another since the newest reading that was used: empty unless they
 * are enough to say that the boot's readings go on there.
 */
function runOfItsOwn(boot: Boot, unfit: Arrived[]): Arrived[] {
  let start = unfit.length - 1;
  for (; start > 0; start -= 1) {
    const [earlier, later] = [unfit[start - 1], unfit[start]];
    if (!earlier || !later || !follows(later, earlier, boot.hello.periodMs)) break;
  }
  const run = unfit.slice(Math.max(0, start)).filter((line) => line.at > boot.newestHeardAt);
  return run.length >= RUN_OF_ITS_OWN ? run : [];
}

/** A board that restarts under its old boot id, or a reading that was taken in wrongly: the boot begins again. */
function beginAnew(desk: Desk, boot: Boot, run: Arrived[], at: number, out: DeskOutput[]): Boot {
  const { hello, liveAt, presses } = boot;
  tellAllMissing(desk, boot, at, out);
  out.push({ kind: 'restarted', at: Math.round(at), board: hello.board, boot: hello.boot });
  const anew = { ...newBoot(hello, null), liveAt, presses };
  remember(desk, anew);
  for (const line of run) enter(desk, anew, line, settle(anew, line), out);
  return anew;
}

function dropAside(desk: Desk, at: number, out: DeskOutput[]): void {
  for (const { text } of desk.aside) countBad(desk, at, 'does-not-fit', text, out);
  desk.aside = [];
}
