/**
 * A logger board at the demo kiln: speaks the board's lines as a real one would. Its time is the kiln's time, by a
 * crystal that is a little off; it reads at its own beat, keeps past readings in a ring, and forgets all at a restart.
 */
import { formatBoardLine, type Hello, parseCollectorLine, rangeLength } from '../../protocol/board-lines.ts';
import type { KnownLogEntry } from '../../protocol/log-entries.ts';
import type { RawValue } from '../../protocol/probes.ts';
import { deedEntry } from './diary.ts';
import { type Kiln, type KilnSetting, kilnMeanC, kilnStep, openKiln } from './kiln.ts';
import { type DemoProbe, type ProbeMishap, readProbe } from './probes.ts';
import { bell, hexWord, openRandom, type Random, uniform } from './random.ts';
import { beginScripted, type Moment, type Scheduled, type Scripted, schedule } from './troubles.ts';

export interface DemoBoardSetting extends KilnSetting {
  board: string;
  periodMs: number;
  /** How many past readings it can send again. */
  keeps: number;
  probes: readonly DemoProbe[];
  mishaps?: readonly ProbeMishap[];
  /** When it restarts: power lost, or a loose plug. */
  restarts?: readonly Moment[];
}

/** A line that the board sends, or something that the potter logs, at its time (epoch ms). */
export type DemoEvent =
  | { kind: 'line'; at: number; text: string }
  | { kind: 'logged'; at: number; entry: KnownLogEntry };

export interface DemoBoard {
  kiln: Kiln;
  probes: readonly DemoProbe[];
  hello: Hello;
  mishaps: Scheduled<ProbeMishap>[];
  restarts: Scheduled<Scripted>[];
  random: Random;
  /** Its crystal: milliseconds of its own in a true one. */
  clockRate: number;
  bootAtMs: number;
  saidHello: boolean;
  nextSeq: number;
  /** The lines of past readings, by seq. */
  kept: Map<number, string>;
  last: RawValue[];
  coldJunctionC: number;
  logged: number;
}

/** From power on to the first line. */
const BOOT_MS = 1800;
const CRYSTAL_OFF_PPM = 45;
/** The board hangs by the kiln: warmed a little by it, over an hour or so. */
const WARMED_BY_KILN = 0.014;
const OWN_WARMTH_C = 4;
const BOARD_WARMS_S = 2400;

export function openDemoBoard(setting: DemoBoardSetting): DemoBoard {
  const random = openRandom(setting.seed, 'board');
  const kiln = openKiln(setting);
  return {
    kiln,
    probes: setting.probes,
    hello: {
      board: setting.board,
      boot: hexWord(random),
      periodMs: setting.periodMs,
      keeps: setting.keeps,
      probes: setting.probes.map(({ spec }) => spec),
    },
    mishaps: schedule(setting.mishaps ?? []),
    restarts: schedule((setting.restarts ?? []).map((from) => ({ from, minutes: 0 }))),
    random,
    clockRate: 1 + CRYSTAL_OFF_PPM * 1e-6 * (2 * uniform(random) - 1),
    bootAtMs: setting.startMs + BOOT_MS,
    saidHello: false,
    nextSeq: 0,
    kept: new Map(),
    last: setting.probes.map(() => null),
    coldJunctionC: kiln.ambientC + OWN_WARMTH_C,
    logged: 0,
  };
}

/** When the board next has something to say, epoch ms. */
export function nextLineAt({ bootAtMs, saidHello, nextSeq, hello, clockRate }: DemoBoard): number {
  return saidHello ? bootAtMs + ((nextSeq + 1) * hello.periodMs) / clockRate : bootAtMs;
}

function helloLine(board: DemoBoard): string {
  return formatBoardLine({ kind: 'hello', hello: board.hello });
}

function restart(board: DemoBoard, nowMs: number): void {
  board.hello = { ...board.hello, boot: hexWord(board.random) };
  board.bootAtMs = nowMs + BOOT_MS;
  board.saidHello = false;
  board.nextSeq = 0;
  board.kept.clear();
}

/** One second of the kiln; what the potter logs in it. */
function burnASecond(board: DemoBoard, into: DemoEvent[]): void {
  const { kiln } = board;
  const deeds = kilnStep(kiln, 1);
  const at = kiln.startMs + kiln.nowS * 1000;
  for (const deed of deeds) {
    board.logged += 1;
    into.push({ kind: 'logged', at, entry: deedEntry(deed, `demo-${board.logged}`, board.probes) });
  }
  const meanC = kilnMeanC(kiln);
  const wantsC = kiln.ambientC + OWN_WARMTH_C + WARMED_BY_KILN * (meanC - kiln.ambientC);
  board.coldJunctionC += (wantsC - board.coldJunctionC) / BOARD_WARMS_S;
  beginScripted(board.mishaps, kiln.nowS, kiln.litS, meanC);
  for (const each of board.restarts) {
    const was = each.sinceS;
    beginScripted([each], kiln.nowS, kiln.litS, meanC);
    if (was === null && each.sinceS !== null) restart(board, at);
  }
}

function readingLine(board: DemoBoard): string {
  const { kiln, random } = board;
  const coldJunctionC = Math.round((board.coldJunctionC + 0.02 * bell(random)) * 100) / 100;
  board.last = board.probes.map((probe, i) =>
    readProbe(
      probe,
      kiln.tipC[probe.zone],
      coldJunctionC,
      board.mishaps,
      kiln.nowS,
      board.last[i] ?? null,
      random,
    ),
  );
  const seq = board.nextSeq;
  const uptimeMs = (seq + 1) * board.hello.periodMs + Math.floor(3 * uniform(random));
  const text = formatBoardLine({ kind: 'reading', seq, uptimeMs, coldJunctionC, values: board.last });
  board.nextSeq += 1;
  board.kept.set(seq, text);
  board.kept.delete(seq - board.hello.keeps);
  return text;
}

/** Goes on to `untilMs` (epoch, firing time). Returns what was said and logged in between, in order of time. */
export function runDemoBoard(board: DemoBoard, untilMs: number): DemoEvent[] {
  const events: DemoEvent[] = [];
  const { kiln } = board;
  for (;;) {
    const lineAt = nextLineAt(board);
    const kilnAt = kiln.startMs + (kiln.nowS + 1) * 1000;
    if (Math.min(lineAt, kilnAt) > untilMs) return events;
    if (kilnAt <= lineAt) {
      burnASecond(board, events);
    } else if (board.saidHello) {
      const text = readingLine(board);
      events.push({ kind: 'line', at: Math.round(lineAt), text });
    } else {
      board.saidHello = true;
      events.push({ kind: 'line', at: Math.round(lineAt), text: helloLine(board) });
    }
  }
}

/** What the board answers to a line of the collector, in order; nothing while it boots, or to what it cannot read. */
export function tellDemoBoard(board: DemoBoard, text: string): string[] {
  const heard = parseCollectorLine(text);
  if (!heard.ok || !board.saidHello) return [];
  if (heard.line.kind === 'hello?') return [helloLine(board)];
  if (heard.line.kind === 'lamp') return [];
  const { from, to } = heard.line;
  const answers: string[] = [];
  const gone: number[] = [];
  for (let i = 0; i < rangeLength(from, to); i++) {
    const seq = (from + i) >>> 0;
    const line = board.kept.get(seq);
    if (line !== undefined) answers.push(line);
    else if (seq < board.nextSeq) gone.push(seq);
  }
  const [first, last] = [gone[0], gone.at(-1)];
  if (first !== undefined && last !== undefined)
    answers.push(formatBoardLine({ kind: 'missing', from: first, to: last }));
  return answers;
}
