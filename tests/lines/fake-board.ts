/** A board and its link, made up for tests: a clock of its own, a ring of past readings, lost and garbled lines. */
import { formatBoardLine, type Hello, parseCollectorLine } from '../../protocol/board-lines.ts';

/** Mulberry32: the same numbers for the same seed. */
export function randomFrom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}

export interface LinkFaults {
  /** Chance that a line is lost, either way. */
  lost: number;
  /** Chance that up to three of its bits are turned over. */
  garbled: number;
  /** Mean of the exponential delay, ms. */
  delayMs: number;
}

/** A reading as it was made: what the desk must give out, or nothing. */
export interface Made {
  boot: string;
  seq: number;
  value: number;
  at: number;
}

export interface FakeBoard {
  hello: Hello;
  made: Made[];
  /** Lines on their way, with their arrival. */
  onTheWay: { at: number; text: string }[];
  faults: LinkFaults;
  /** The link carries nothing while it is out. */
  out: boolean;
  advance(now: number): void;
  restart(now: number): void;
  hear(now: number, line: string): void;
}

/** `rate`: the board's milliseconds in a true one. `firstSeq`, `firstUptimeMs`: to start just before a roll-over. */
export function fakeBoard(
  random: () => number,
  options: {
    keeps: number;
    periodMs: number;
    rate: number;
    startedAt: number;
    firstSeq?: number;
    firstUptimeMs?: number;
  },
): FakeBoard {
  let boots = 0;
  let bootAt = options.startedAt;
  let seq = options.firstSeq ?? 0;
  let uptimeAtBootMs = options.firstUptimeMs ?? 0;
  let readings = 0;
  let ring = new Map<number, string>();
  const bootId = () => (0xa000_0000 + boots).toString(16).toUpperCase();

  function say(now: number, text: string): void {
    if (board.out || random() < board.faults.lost) return;
    const delayed = now - Math.log(1 - random()) * board.faults.delayMs;
    const at = Math.max(delayed, board.onTheWay.at(-1)?.at ?? 0);
    board.onTheWay.push({ at, text: random() < board.faults.garbled ? garble(text) : text });
  }

  function garble(text: string): string {
    const codes = Array.from(text, (char) => char.charCodeAt(0));
    const flips = 1 + Math.floor(random() * 3);
    for (let i = 0; i < flips; i += 1) {
      const index = Math.floor(random() * codes.length);
      codes[index] = (codes[index] ?? 0) ^ (1 << Math.floor(random() * 8));
    }
    return String.fromCharCode(...codes);
  }

  const board: FakeBoard = {
    hello: {
      board: 'shed-1',
      boot: bootId(),
      periodMs: options.periodMs,
      keeps: options.keeps,
      probes: [{ name: 'low', couple: 'K', form: { kind: 'uv' } }],
    },
    made: [],
    onTheWay: [],
    faults: { lost: 0, garbled: 0, delayMs: 0 },
    out: false,
    advance(now) {
      for (;;) {
        const boardMs = (readings + 1) * options.periodMs;
        const at = bootAt + boardMs / options.rate;
        if (at > now) return;
        const value = Math.round(random() * 5e4);
        const uptimeMs = (uptimeAtBootMs + boardMs) >>> 0;
        const text = formatBoardLine({ kind: 'reading', seq, uptimeMs, coldJunctionC: 20, values: [value] });
        board.made.push({ boot: board.hello.boot, seq, value, at });
        ring.set(seq, text);
        if (ring.size > options.keeps) ring.delete([...ring.keys()][0] ?? 0);
        readings += 1;
        seq = (seq + 1) >>> 0;
        say(at, text);
      }
    },
    restart(now) {
      boots += 1;
      bootAt = now;
      seq = 0;
      uptimeAtBootMs = 0;
      readings = 0;
      ring = new Map();
      board.hello = { ...board.hello, boot: bootId() };
      say(now, formatBoardLine({ kind: 'hello', hello: board.hello }));
    },
    hear(now, line) {
      if (board.out || random() < board.faults.lost) return;
      const parsed = parseCollectorLine(line);
      if (!parsed.ok) throw new Error(`the desk sent what no board understands: ${line}`);
      if (parsed.line.kind === 'hello?') say(now, formatBoardLine({ kind: 'hello', hello: board.hello }));
      if (parsed.line.kind !== 'give') return;
      const { from, to } = parsed.line;
      for (let wanted = from; ; wanted = (wanted + 1) >>> 0) {
        const text = ring.get(wanted);
        say(now, text ?? formatBoardLine({ kind: 'missing', from: wanted, to: wanted }));
        if (wanted === to) break;
      }
    },
  };
  return board;
}
