/** What is made of the lines of a board that speaks the board's lines. */
import { type BoardLine, type Hello, rangeLength } from '../../protocol/board-lines.ts';
import { giveUp } from './asks.ts';
import {
  type Arrived,
  type ArrivedPress,
  type Boot,
  canBeOf,
  follows,
  type Judged,
  judge,
  newBoot,
  settle,
} from './boot.ts';
import { carryOn } from './counter32.ts';
import {
  ASK_AGAIN_MS,
  askHello,
  countBad,
  type Desk,
  forgetPlain,
  noteHeard,
  noteProbes,
} from './desk-state.ts';
import type { DeskOutput } from './desk-types.ts';
import { newPace, truePeriodMs } from './pace.ts';
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
const PRESS_LATE_PERIODS = 5;

/** Takes in a good line. */
export function takeFramed(desk: Desk, at: number, text: string, line: BoardLine, out: DeskOutput[]): void {
  desk.framed = true;
  forgetPlain(desk);
  noteHeard(desk, at, out);
  if (line.kind === 'hello' && !noteProbes(desk, line.hello)) {
    countBad(desk, at, 'too-many-probes', text, out);
    // Its readings are nobody else's.
    desk.current = null;
    return;
  }
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
  if (!enter(desk, boot, reading, judge(boot, reading, desk.aside.length > 0), out))
    putAside(desk, reading, out);
}

/** Enters a reading whose boot is known; false if it cannot be. */
function enter(desk: Desk, boot: Boot, reading: Arrived, judged: Judged, out: DeskOutput[]): boolean {
  switch (judged.verdict) {
    case 'live':
      takeLive(desk, boot, reading, judged, out);
      watchPace(boot, judged, reading.at, out);
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

/** A board that does not read as often as it says is taken by what it does. */
function watchPace(boot: Boot, { seq, uptimeMs }: Judged, at: number, out: DeskOutput[]): void {
  const keptMs = truePeriodMs(boot.pace, { seq, uptimeMs, at }, boot.hello.periodMs);
  if (keptMs === null) return;
  const { saidMs } = boot.pace;
  boot.hello = { ...boot.hello, periodMs: keptMs };
  out.push({ kind: 'odd-period', at: Math.round(at), board: boot.hello.board, saidMs, keptMs });
  out.push({ kind: 'hello', at: Math.round(at), hello: boot.hello });
}

function takeButton(desk: Desk, boot: Boot, press: ArrivedPress, out: DeskOutput[]): void {
  const last = boot.presses.at(-1);
  const uptimeMs = boot.newest?.uptimeMs ?? press.uptimeMs;
  const fits =
    desk.aside.length === 0 &&
    carryOn(press.uptimeMs, uptimeMs) >= uptimeMs - PRESS_LATE_PERIODS * boot.hello.periodMs &&
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

function takeHello(desk: Desk, said: Hello, at: number, out: DeskOutput[]): Boot {
  const known = desk.boots.get(said.board);
  const sameWord = known !== undefined && known.pace.saidMs === said.periodMs;
  const hello = sameWord ? { ...said, periodMs: known.hello.periodMs } : said;
  const otherBoard = desk.current !== null && desk.current.hello.board !== hello.board;
  if (otherBoard) dropAside(desk, at, out);
  desk.confirmed = true;
  desk.answered = true;
  if (known !== undefined && known.hello.boot === hello.boot) {
    const news = otherBoard || JSON.stringify(known.hello) !== JSON.stringify(hello);
    known.hello = hello;
    if (!sameWord) known.pace = newPace(said);
    desk.current = known;
    if (news) out.push({ kind: 'hello', at: Math.round(at), hello });
    return settleAside(desk, known, at, 'same boot', out);
  }
  if (known !== undefined) {
    tellAllMissing(desk, known, at, out);
    out.push({ kind: 'restarted', at: Math.round(at), board: hello.board, boot: hello.boot });
  }
  out.push({ kind: 'hello', at: Math.round(at), hello });
  const boot = { ...newBoot(hello, known ?? null), pace: newPace(said) };
  remember(desk, boot);
  return settleAside(desk, boot, at, 'new boot', out);
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
 * Decides on what waited: a hello has said that the board is in `boot`, which is new or the same as before, or none has
 * come for so long that it must be taken to be the same. What can be of that boot is entered. Readings that agree with
 * one another but not with the boot are its readings all the same, and it begins anew with them. The answer is the boot
 * as it then is.
 */
export function settleAside(
  desk: Desk,
  boot: Boot,
  at: number,
  known: 'new boot' | 'same boot' | 'no hello',
  out: DeskOutput[],
): Boot {
  boot.heardAt = at;
  const waiting = desk.aside;
  desk.aside = [];
  const run = known === 'new boot' ? [] : runOfItsOwn(boot, waiting, known === 'same boot');
  for (const line of waiting) {
    if (line.kind === 'button') takePress(desk, boot, line, out);
    else if (run.includes(line)) continue;
    else if (!canBeOf(boot, line) || !enter(desk, boot, line, settle(boot, line), out))
      countBad(desk, at, 'does-not-fit', line.text, out);
  }
  return run.length > 0 ? beginAnew(desk, boot, run, at, out) : boot;
}

/**
 * The readings at the end of what waited that follow one another since the newest reading that was used: empty unless
 * they are enough to say that the boot's readings go on there. Where a hello has said that the boot is the same,
 * readings that are known already are no restart.
 */
function runOfItsOwn(boot: Boot, waiting: Desk['aside'], sameBoot: boolean): Arrived[] {
  const readings = waiting.filter((line) => line.kind === 'reading');
  let start = readings.length - 1;
  for (; start > 0; start -= 1) {
    const earlier = readings[start - 1];
    const later = readings[start];
    if (!earlier || !later || earlier.at <= boot.newestHeardAt) break;
    if (!follows(later, earlier, boot.hello.periodMs)) break;
  }
  const run = readings.slice(Math.max(0, start));
  const [first] = run;
  if (first === undefined || run.length < RUN_OF_ITS_OWN) return [];
  const { verdict } = settle(boot, first);
  return verdict === 'unfit' || (verdict !== 'live' && !sameBoot) ? run : [];
}

/** A board that restarts under its old boot id, or a reading that was taken in wrongly: the boot begins again. */
function beginAnew(desk: Desk, boot: Boot, run: Arrived[], at: number, out: DeskOutput[]): Boot {
  const { hello, liveAt, presses, pace } = boot;
  tellAllMissing(desk, boot, at, out);
  out.push({ kind: 'restarted', at: Math.round(at), board: hello.board, boot: hello.boot });
  const anew = { ...newBoot(hello, null), liveAt, presses, pace: { ...pace, recent: [] } };
  remember(desk, anew);
  for (const line of run) enter(desk, anew, line, settle(anew, line), out);
  return anew;
}

/**
 * What waited can be decided no more: the link was opened again, which can restart a board, or carries another one.
 * Readings can be asked for again; a press was a press.
 */
export function dropAside(desk: Desk, at: number, out: DeskOutput[]): void {
  for (const line of desk.aside) {
    if (line.kind === 'button' && desk.current !== null) takePress(desk, desk.current, line, out);
    else countBad(desk, at, 'does-not-fit', line.text, out);
  }
  desk.aside = [];
}
