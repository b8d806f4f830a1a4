/**
 * A board that only prints numbers, served as if it spoke the board's lines: each opening of its link is a boot, its
 * lines are counted, and its uptime is what the computer's clock says.
 */
import type { Hello } from '../../protocol/board-lines.ts';
import { parsePlainLine } from '../../protocol/plain-lines.ts';
import type { Plan } from '../../protocol/plan.ts';
import { cFromF } from '../../protocol/units.ts';
import { type Boot, newBoot } from './boot.ts';
import { asCounter } from './counter32.ts';
import { countBad, type Desk, noteHeard, type PlainRun } from './desk-state.ts';
import type { DeskOutput } from './desk-types.ts';
import { takeLive } from './take.ts';

const PLAIN = 'plain';

/** The board id of the plain board on a link, in the letters that a board id may have. */
function plainBoardOf(link: string): string {
  const named = link.toLowerCase().replace(/[^a-z0-9-]/g, '-');
  return named === '' ? PLAIN : `${PLAIN}-${named}`.slice(0, 16);
}

export function isPlainBoard(board: string): boolean {
  return board === PLAIN || board.startsWith(`${PLAIN}-`);
}

const FIRST_PERIOD_MS = 1000;
const INTERVALS_KEPT = 9;
const LEAST_INTERVALS = 5;
/** The period is told anew when it is off by more than this. */
const PERIOD_OFF = 0.25;

export function newPlainRun(openedAt: number): PlainRun {
  return { openedAt, seq: 0, lastAt: null, intervals: [], boot: null };
}

/** Takes in a line of a plain board. */
export function takePlain(
  desk: Desk,
  plain: NonNullable<Plan['plainBoard']>,
  at: number,
  text: string,
  out: DeskOutput[],
): void {
  const numbers = parsePlainLine(text);
  if (numbers === null) {
    countBad(desk, at, 'no-numbers', text, out);
    return;
  }
  if (numbers.length !== plain.probes.length) {
    countBad(desk, at, 'wrong-count', text, out);
    return;
  }
  noteHeard(desk, at, out);
  desk.plainRun ??= newPlainRun(at);
  const run = desk.plainRun;
  const boot = bootOf(desk, plain, run, at, out);
  const values = numbers.map((value) => (value === null || plain.unit === 'C' ? value : cFromF(value)));
  const seq = run.seq;
  const uptimeMs = Math.max(0, Math.round(at - run.openedAt));
  run.seq += 1;
  const reading = { kind: 'reading' as const, at, text, seq, uptimeMs, coldJunctionC: null, values };
  takeLive(
    desk,
    boot,
    { ...reading, uptimeMs: asCounter(uptimeMs) },
    { verdict: 'live', seq, uptimeMs },
    out,
  );
}

/** The run's boot, with its hello told at the first line and whenever the period proves to be another. */
function bootOf(
  desk: Desk,
  plain: NonNullable<Plan['plainBoard']>,
  run: PlainRun,
  at: number,
  out: DeskOutput[],
): Boot {
  if (run.lastAt !== null) run.intervals.push(at - run.lastAt);
  if (run.intervals.length > INTERVALS_KEPT) run.intervals.shift();
  run.lastAt = at;
  if (run.boot === null) {
    const boot = asCounter(Math.round(run.openedAt)).toString(16).toUpperCase().padStart(8, '0');
    const board = plainBoardOf(desk.link);
    const hello: Hello = {
      board,
      boot,
      periodMs: FIRST_PERIOD_MS,
      keeps: 0,
      probes: plain.probes.map(({ name, couple }) => ({ name, couple, form: { kind: 'deg' } })),
    };
    run.boot = { ...newBoot(hello, desk.boards.boots.get(board) ?? null), wholly: false };
    desk.boards.boots.set(board, run.boot);
    desk.current = run.boot;
    out.push({ kind: 'hello', at: Math.round(at), hello });
    return run.boot;
  }
  const periodMs = estimatedPeriodMs(run.intervals, run.boot.hello.periodMs);
  if (Math.abs(periodMs / run.boot.hello.periodMs - 1) > PERIOD_OFF) {
    run.boot.hello = { ...run.boot.hello, periodMs };
    out.push({ kind: 'hello', at: Math.round(at), hello: run.boot.hello });
  }
  return run.boot;
}

/** The median time between arrivals once there are a few; at least 1 ms. */
function estimatedPeriodMs(intervals: readonly number[], elseMs: number): number {
  if (intervals.length < LEAST_INTERVALS) return elseMs;
  const sorted = [...intervals].sort((a, b) => a - b);
  return Math.max(1, Math.round(sorted[sorted.length >> 1] ?? elseMs));
}
