/**
 * The cable between the demo board and a collector that writes everything down: what gets through and when, what is
 * lost, torn or garbled, and what the collector asks for again. For the sample captures.
 */
import {
  type BoardLine,
  formatCollectorLine,
  MOST_A_GIVE,
  parseBoardLine,
} from '../../protocol/board-lines.ts';
import type { CaptureLine } from '../../protocol/capture.ts';
import type { KnownLogEntry } from '../../protocol/log-entries.ts';
import { type DemoBoard, type DemoEvent, runDemoBoard, tellDemoBoard } from './demo-board.ts';
import { kilnMeanC } from './kiln.ts';
import { openRandom, type Random, uniform } from './random.ts';
import { beginScripted, isGoingOn, type Scheduled, type Scripted, schedule } from './troubles.ts';

/**
 * `pulled`: the cable is out, what the board says is lost. `stuttering`: lines pile up on the way (as a radio link
 * does) and arrive in a burst when it is over.
 */
export interface WireMishap extends Scripted {
  what: 'pulled' | 'stuttering';
}

export interface WireSetting {
  seed: number;
  mishaps: readonly WireMishap[];
  /** Share of the lines that arrive with a character wrong. */
  garbledShare: number;
  /** Which entries of the log book are written down. */
  writesDown: (entry: KnownLogEntry) => boolean;
}

export interface Wire {
  board: DemoBoard;
  mishaps: Scheduled<WireMishap>[];
  garbledShare: number;
  random: Random;
  /** What was written down so far. */
  lines: CaptureLine[];
  up: boolean;
  /** The last line sent into a pulled cable: its tail is the first thing heard when the cable is back. */
  lost: string;
  held: string[];
  boot: string;
  /** The seq that is to come next in this boot. */
  wantsSeq: number;
  arrivedAt: number;
  writesDown: (entry: KnownLogEntry) => boolean;
}

/** A line of some sixty bytes at 115200 baud, with the system's own delay, ms. */
const LINE_MS = 6;
const DELAY_MS = 12;
const DELAY_SPREAD_MS = 30;
/** The cable comes back so long before the next reading. */
const PLUGGED_BEFORE_MS = 8000;
/** From plugging in to the first byte heard. */
const REOPEN_MS = 1500;

/** Times never go back in a capture. */
function arrive(wire: Wire, at: number): number {
  wire.arrivedAt = Math.max(wire.arrivedAt, Math.round(at));
  return wire.arrivedAt;
}

function garble(wire: Wire, text: string): string {
  const { random, garbledShare } = wire;
  if (uniform(random) >= garbledShare) return text;
  const place = 3 + Math.floor(uniform(random) * (text.length - 8));
  const wrong = String.fromCharCode(text.charCodeAt(place) ^ 0x04);
  return text.slice(0, place) + wrong + text.slice(place + 1);
}

function say(wire: Wire, at: number, text: string): void {
  wire.lines.push({ at: arrive(wire, at), direction: '>', link: '', text });
  const answers = tellDemoBoard(wire.board, text);
  answers.forEach((answer, i) => {
    hear(wire, at + DELAY_MS + (i + 1) * LINE_MS, answer);
  });
}

/** The collector hears a line, and asks for what is missing between the last reading and this one. */
function hear(wire: Wire, at: number, text: string): void {
  const garbled = garble(wire, text);
  wire.lines.push({ at: arrive(wire, at), direction: '<', link: '', text: garbled });
  const parsed = parseBoardLine(garbled);
  if (parsed.ok) follow(wire, wire.arrivedAt, parsed.line);
}

function follow(wire: Wire, at: number, line: BoardLine): void {
  if (line.kind === 'hello' && line.hello.boot !== wire.boot) {
    wire.boot = line.hello.boot;
    wire.wantsSeq = 0;
  }
  if (line.kind !== 'reading' || line.seq < wire.wantsSeq) return;
  const { wantsSeq } = wire;
  wire.wantsSeq = line.seq + 1;
  for (let from = wantsSeq; from < line.seq; from += MOST_A_GIVE) {
    const to = Math.min(from + MOST_A_GIVE, line.seq) - 1;
    say(wire, at + 2, formatCollectorLine({ kind: 'give', from, to }));
  }
}

function plugIn(wire: Wire, at: number): void {
  wire.up = true;
  if (wire.lost !== '') hear(wire, at + REOPEN_MS, wire.lost.slice(Math.floor(wire.lost.length * 0.6)));
  say(wire, at + REOPEN_MS + 40, formatCollectorLine({ kind: 'hello?' }));
}

function carry(wire: Wire, event: DemoEvent): void {
  const { kiln } = wire.board;
  if (event.kind === 'logged') {
    writeEntry(wire, event.at, event.entry);
    return;
  }
  const going = wire.mishaps.find((mishap) => isGoingOn(mishap, kiln.nowS))?.script.what;
  if (going === 'pulled') {
    wire.up = false;
    wire.lost = event.text;
    return;
  }
  if (!wire.up) plugIn(wire, event.at - PLUGGED_BEFORE_MS);
  if (going === 'stuttering') {
    wire.held.push(event.text);
    return;
  }
  const at = event.at + DELAY_MS + DELAY_SPREAD_MS * uniform(wire.random);
  const all = [...wire.held, event.text];
  wire.held = [];
  all.forEach((text, i) => {
    hear(wire, at + i * LINE_MS, text);
  });
}

/** Begins to listen to a board that is about to start, with a `?` that finds it still booting. */
export function openWire(board: DemoBoard, setting: WireSetting): Wire {
  const wire: Wire = {
    board,
    mishaps: schedule(setting.mishaps),
    garbledShare: setting.garbledShare,
    random: openRandom(setting.seed, 'wire'),
    lines: [],
    up: true,
    lost: '',
    held: [],
    boot: '',
    wantsSeq: 0,
    arrivedAt: board.kiln.startMs,
    writesDown: setting.writesDown,
  };
  say(wire, board.kiln.startMs, formatCollectorLine({ kind: 'hello?' }));
  return wire;
}

/** Writes down what somebody logged. */
export function writeEntry(wire: Wire, at: number, entry: KnownLogEntry): void {
  if (!wire.writesDown(entry)) return;
  wire.lines.push({ at: arrive(wire, at), direction: '@', link: '', text: JSON.stringify(entry) });
}

/** Runs the board to `untilMs`, a second or so on, and carries what it says. */
export function runWire(wire: Wire, untilMs: number): void {
  const events = runDemoBoard(wire.board, untilMs);
  const { kiln } = wire.board;
  beginScripted(wire.mishaps, kiln.nowS, kiln.litS, kilnMeanC(kiln));
  for (const event of events) carry(wire, event);
}
