/** What is made of the lines of a board that speaks the board's lines. */
import { type BoardLine, type Hello, rangeLength } from '../../protocol/board-lines.ts';
import { MINUTE_MS } from '../../protocol/units.ts';
import type { Arrived, ArrivedPress } from './arrived.ts';
import { dropAside, putAside, settleAside } from './aside.ts';
import { giveUp } from './asks.ts';
import { type Boot, judge, newBoot } from './boot.ts';
import { carryOn } from './counter32.ts';
import {
  ASK_AGAIN_MS,
  askHello,
  countBad,
  type Desk,
  forgetPlain,
  noteHeard,
  noteProbes,
  noteSpeaker,
  remember,
} from './desk-state.ts';
import type { DeskOutput } from './desk-types.ts';
import { newPace } from './pace.ts';
import { isDoubtful } from './plausible.ts';
import {
  askMissing,
  enter,
  giveWaiting,
  isKnownPress,
  takePress,
  tellAllMissing,
  tellMissing,
} from './take.ts';

/** A press may be told so much later than the newest reading. */
const PRESS_LATE_PERIODS = 5;
/** A board that was heard within so many of its periods is there still. */
const SPEAKS_PERIODS = 5;
/** One board in the place of another so often within so long is no changing of boards. */
const MIXED = { turns: 4, withinMs: 2 * MINUTE_MS };

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
  if (line.kind === 'hello' && isNamesake(desk, at, text, line.hello, out)) return;
  if (line.kind === 'hello') {
    const boot = takeHello(desk, line.hello, at, out);
    noteSpeaker(desk, at);
    askMissing(desk, boot, at, out);
    return;
  }
  const boot = desk.current;
  if (boot === null) {
    countBad(desk, at, 'before-hello', text, out);
    askHello(desk, at, ASK_AGAIN_MS, out);
    return;
  }
  if (line.kind === 'reading') {
    const { kind, seq, uptimeMs, coldJunctionC, values } = line;
    takeReading(desk, boot, { kind, at, text, seq, uptimeMs, coldJunctionC, values }, out);
  } else if (line.kind === 'button') takeButton(desk, boot, { ...line, at, text }, out);
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
  const judged = judge(boot, reading, desk.aside.length > 0);
  const isNew = judged.verdict === 'live' || judged.verdict === 'late';
  if (isNew && isDoubtful(desk.doubts, boot, reading, judged))
    countBad(desk, at, 'doubtful', reading.text, out);
  else if (!enter(desk, boot, reading, judged, out)) putAside(desk, reading, out);
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

function takeHello(desk: Desk, said: Hello, at: number, out: DeskOutput[]): Boot {
  const known = desk.boards.boots.get(said.board);
  const sameWord = known !== undefined && known.pace.saidMs === said.periodMs;
  const hello = sameWord ? { ...said, periodMs: known.hello.periodMs } : said;
  const before = desk.current;
  const otherBoard = before !== null && before.hello.board !== hello.board;
  if (otherBoard) {
    giveWaiting(before, out);
    dropAside(desk, at, out);
    noteTurn(desk, at, hello.board, out);
  }
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

/** Two boards of one name would be one to the kiln: the one that came first is listened to, and the other is told of. */
function isNamesake(desk: Desk, at: number, text: string, hello: Hello, out: DeskOutput[]): boolean {
  const heard = desk.boards.heard.get(hello.board);
  if (heard === undefined || heard.link === desk.link || heard.boot === hello.boot) return false;
  if (at - heard.at > SPEAKS_PERIODS * hello.periodMs) return false;
  countBad(desk, at, 'namesake', text, out);
  out.push({ kind: 'namesake', at: Math.round(at), board: hello.board, other: heard.link });
  desk.current = null;
  return true;
}

/** Boards that share one wire answer in turns, and neither is heard whole. Told once for each opening of the link. */
function noteTurn(desk: Desk, at: number, board: string, out: DeskOutput[]): void {
  if (desk.turns === null) return;
  desk.turns = [...desk.turns.filter((turn) => at - turn.at < MIXED.withinMs), { at, board }];
  if (desk.turns.length < MIXED.turns) return;
  out.push({ kind: 'mixed', at: Math.round(at), boards: [...new Set(desk.turns.map((turn) => turn.board))] });
  desk.turns = null;
}
