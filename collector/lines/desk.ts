/**
 * The desk of a link: what is made of the lines of one board. Pure: no clock, no input or output of its own.
 *
 *     line -> codec -> whose is it? -> is it new, late, known? -> steadied time -> reading
 *                      (hello, aside)   (ledger, asks)            (board clock)
 *
 * All that a live link gets, a capture that is run again gets too: lines and ticks with their times.
 */
import { parseBoardLine } from '../../protocol/board-lines.ts';
import { adoptHello, adoptReading } from './adopt.ts';
import { dropAside } from './aside.ts';
import { takeBack } from './asks.ts';
import { ASK_AGAIN_MS, askHello, countBad, type Desk, forgetPlain } from './desk-state.ts';
import type { DeskInput, DeskOutput } from './desk-types.ts';
import { takeFramed } from './framed.ts';
import { newPlainRun, takePlain } from './plain-board.ts';
import { giveWaiting } from './take.ts';
import { takeTick } from './watch.ts';

export { type Boards, type Desk, newBoards, openDesk } from './desk-state.ts';
export type { DeskOutput } from './desk-types.ts';

/**
 * Moves the desk on by one input and answers what comes of it, in order. The desk is changed in place: it belongs to
 * this function from `openDesk` on, and nobody else keeps or changes a part of it. Never throws, whatever a line holds.
 */
export function deskStep(desk: Desk, input: DeskInput): DeskOutput[] {
  const out: DeskOutput[] = [];
  switch (input.kind) {
    case 'opened':
      takeOpened(desk, input.at, out);
      break;
    case 'closed':
      desk.open = false;
      if (desk.current !== null) giveWaiting(desk.current, out);
      desk.silent = false;
      break;
    case 'line':
      takeLine(desk, input.at, input.text, out);
      break;
    case 'tick':
      takeTick(desk, input.at, out);
      break;
    case 'plain':
      // Any change of the plan brings it; only one of the plain board begins a new boot.
      if (JSON.stringify(input.plain) === JSON.stringify(desk.plain)) break;
      forgetPlain(desk);
      desk.plain = input.plain;
      break;
    case 'adopt-hello':
      adoptHello(desk, input.hello);
      break;
    case 'adopt':
      adoptReading(desk, input.row);
      break;
  }
  return out;
}

function takeOpened(desk: Desk, at: number, out: DeskOutput[]): void {
  desk.open = true;
  desk.openedAt = at;
  desk.confirmed = false;
  desk.turns = [];
  dropAside(desk, at, out);
  if (desk.current !== null) takeBack(desk.current.asks);
  forgetPlain(desk);
  if (desk.plain !== null) {
    desk.framed = false;
    desk.plainRun = newPlainRun(at);
  }
  desk.askedHelloAt = Number.NEGATIVE_INFINITY;
  askHello(desk, at, ASK_AGAIN_MS, out);
}

function takeLine(desk: Desk, at: number, text: string, out: DeskOutput[]): void {
  desk.counts.lines += 1;
  desk.lineAt = at;
  const parsed = parseBoardLine(text);
  if (parsed.ok) takeFramed(desk, at, text, parsed.line, out);
  else if (/^\s*$/.test(text)) return;
  else if (desk.plain !== null && !desk.framed && !/[$*]/.test(text))
    takePlain(desk, desk.plain, at, text, out);
  else countBad(desk, at, parsed.why, text, out);
}
