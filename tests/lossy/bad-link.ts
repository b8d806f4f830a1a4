/**
 * A board and a desk over a link that flips bits: each bit of every byte is flipped with the same small chance, in both
 * directions, newlines included. What is given out is held against what the board really read.
 */
import { type Desk, type DeskOutput, deskStep, openDesk } from '../../collector/lines/desk.ts';
import type { DeskInput } from '../../collector/lines/desk-types.ts';
import { LINE_LIMIT_BYTES } from '../../collector/links/port-lines.ts';
import {
  formatBoardLine,
  type Hello,
  parseBoardLine,
  parseCollectorLine,
} from '../../protocol/board-lines.ts';

const START = Date.UTC(2031, 2, 8, 5);
const PERIOD_MS = 1000;
/** From the board's crystal to the truth: 0.3 % fast. */
const RATE = 1.003;
const BOOT_UPTIME_MS = 4000;

const HELLO: Hello = {
  board: 'shed-1',
  boot: '0A0B0C0D',
  periodMs: PERIOD_MS,
  keeps: 3600,
  probes: [
    { name: 'front-low', couple: 'K', form: { kind: 'uv' } },
    { name: 'front-high', couple: 'K', form: { kind: 'uv' } },
    { name: 'back-low', couple: 'K', form: { kind: 'uv' } },
    { name: 'back-high', couple: 'S', form: { kind: 'uv' } },
  ],
};

export interface BadLinkReport {
  readings: number;
  /** Lines that the board sent, those that arrived damaged, and those of them that the codec still took. */
  sent: number;
  damaged: number;
  slipped: number;
  /** Readings given out, and those among them that the board never took, or not then. */
  given: number;
  false: number;
  /** Given out more than once; never given out; told to be gone. */
  twice: number;
  lost: number;
  toldGone: number;
  /** Lines that came through the CRC and were asked for again, since they were hard to believe. */
  doubted: number;
  worstTimeMs: number;
}

/** mulberry32, a small public-domain generator: the same seed gives the same link. */
function randomFrom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
}

/** A wire: how many bits go by until the next flip is drawn, so that good bytes cost nothing. */
function wire(random: () => number, bitErrorRate: number) {
  const untilNext = () => Math.floor(Math.log(1 - random()) / Math.log(1 - bitErrorRate));
  let ahead = bitErrorRate > 0 ? untilNext() : Number.POSITIVE_INFINITY;
  return {
    quiet() {
      ahead = Number.POSITIVE_INFINITY;
    },
    carry(text: string): string {
      const bits = text.length * 8;
      if (ahead >= bits) {
        ahead -= bits;
        return text;
      }
      const codes = Array.from(text, (char) => char.charCodeAt(0));
      while (ahead < bits) {
        const index = ahead >> 3;
        codes[index] = (codes[index] ?? 0) ^ (1 << (ahead & 7));
        ahead += 1 + untilNext();
      }
      ahead -= bits;
      return String.fromCharCode(...codes);
    },
  };
}

/** The reading that the board takes at `seq`: a climb with noise, which can be made again at any time. */
function lineAt(seq: number): string {
  const noise = randomFrom(seq * 7919 + 1);
  const values = HELLO.probes.map(
    (_, probe) => 2000 + Math.round(((seq / 40) % 45_000) + probe * 310 + noise() * 40),
  );
  const coldJunctionC = Number((24 + 8 * Math.sin(seq / 9000) + noise() / 5).toFixed(2));
  const uptimeMs = (BOOT_UPTIME_MS + seq * PERIOD_MS) >>> 0;
  return formatBoardLine({ kind: 'reading', seq, uptimeMs, coldJunctionC, values });
}

const timeAt = (seq: number) => START + (seq * PERIOD_MS) / RATE;

/** So many seconds without a flip at the end, so that whatever was asked for last can be answered. */
const QUIET_S = 300;

export function runBadLink(readings: number, bitErrorRate: number, seed: number): BadLinkReport {
  const random = randomFrom(seed);
  const down = wire(random, bitErrorRate);
  const up = wire(random, bitErrorRate);
  const desk = openDesk({ link: '', plain: null });
  const given = new Uint8Array(readings + QUIET_S);
  const report: BadLinkReport = {
    readings,
    sent: 0,
    damaged: 0,
    slipped: 0,
    given: 0,
    false: 0,
    twice: 0,
    lost: 0,
    toldGone: 0,
    doubted: 0,
    worstTimeMs: 0,
  };
  let buffer = '';
  const toBoard: string[] = [];

  const take = (output: DeskOutput): void => {
    if (output.kind === 'send') toBoard.push(output.line);
    else if (output.kind === 'missing') report.toldGone += output.to - output.from + 1;
    else if (output.kind === 'reading') {
      const { seq, uptimeMs, coldJunctionC, values, boot, at } = output.reading;
      const truth = parseBoardLine(lineAt(seq));
      const same =
        truth.ok &&
        truth.line.kind === 'reading' &&
        boot === HELLO.boot &&
        seq < given.length &&
        truth.line.uptimeMs === uptimeMs &&
        truth.line.coldJunctionC === coldJunctionC &&
        truth.line.values.every((value, i) => values[i]?.raw === value);
      report.given += 1;
      if (!same) report.false += 1;
      if (given[seq] === 1) report.twice += 1;
      given[seq] = 1;
      if (seq > 600) report.worstTimeMs = Math.max(report.worstTimeMs, Math.abs(at - timeAt(seq)));
    }
  };
  const feed = (input: DeskInput) => deskStep(desk, input).forEach(take);
  const say = (at: number, text: string) => {
    const arrived = down.carry(`${text}\n`);
    report.sent += 1;
    const damaged = arrived !== `${text}\n`;
    if (damaged) report.damaged += 1;
    buffer += arrived;
    const lines = buffer.split('\n');
    buffer = lines.pop() ?? '';
    if (buffer.length > LINE_LIMIT_BYTES) buffer = '';
    for (const line of lines) {
      if (line.length > LINE_LIMIT_BYTES) continue;
      if (damaged && line !== text && parseBoardLine(line).ok) report.slipped += 1;
      feed({ kind: 'line', at, text: line });
    }
  };
  const hear = (at: number, newest: number) => {
    for (const sent of toBoard.splice(0)) {
      const parsed = parseCollectorLine(up.carry(sent));
      if (!parsed.ok) continue;
      if (parsed.line.kind === 'hello?') say(at, formatBoardLine({ kind: 'hello', hello: HELLO }));
      if (parsed.line.kind !== 'give') continue;
      const { from, to } = parsed.line;
      for (let seq = from; seq <= to && seq <= newest; seq += 1)
        say(
          at,
          seq > newest - HELLO.keeps ? lineAt(seq) : formatBoardLine({ kind: 'missing', from: seq, to: seq }),
        );
    }
  };

  feed({ kind: 'opened', at: START - 500 });
  hear(START - 400, -1);
  for (let seq = 0; seq < readings + QUIET_S; seq += 1) {
    if (seq === readings) {
      down.quiet();
      up.quiet();
    }
    const at = timeAt(seq) + 20;
    say(at, lineAt(seq));
    hear(at + 30, seq);
    feed({ kind: 'tick', at: at + 500 });
    hear(at + 530, seq);
  }
  report.doubted = doubtedBy(desk);
  // What came before the first hello, or is on its way at the very end, is no loss of the link's.
  const first = given.indexOf(1);
  for (let seq = first; seq < readings; seq += 1) if (given[seq] !== 1) report.lost += 1;
  return report;
}

function doubtedBy(desk: Desk): number {
  return desk.counts.bad.doubtful ?? 0;
}
