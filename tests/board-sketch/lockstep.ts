/**
 * The emulated board and a collector that go on side by side, step by step, in the board's time: whatever the machine
 * does meanwhile, the same happens at the same moment of the firing.
 */
import { fork } from 'node:child_process';
import { once } from 'node:events';
import { rmSync } from 'node:fs';
import { join } from 'node:path';
import { build } from 'esbuild';
import { ROOT } from '../support/collector.ts';
import type { BenchBoard } from './bench-board.ts';

export type StepMessage = { kind: 'step'; ms: number; bytes: string; isIn: boolean } | { kind: 'close' };

export interface StepAnswer {
  /** What was sent to the board. */
  bytes: string;
  /** How often the port has been opened so far. */
  openings: number;
}

export interface LockstepOptions {
  bench: BenchBoard;
  dataFolder: string;
  /** DTR restarts the board when its port is opened: its auto-reset is not disabled. */
  autoReset?: boolean;
  /** Chance of each bit on the wire, in both directions, to be turned over. */
  bitErrorRate?: number;
  random: () => number;
  /** The board's milliseconds from one exchange of bytes to the next; 100 unless told. */
  stepMs?: number;
}

export interface Lockstep {
  /** Both go on by so many milliseconds. */
  go(ms: number): Promise<void>;
  pull(): void;
  plug(): void;
  /** kill -9 of the collector; the board goes on alone until `restart`. */
  kill(): Promise<void>;
  restart(): Promise<void>;
  /** Ctrl-C: the collector closes the firing and ends. */
  close(): Promise<void>;
  /** Bits that were turned over so far. */
  readonly bitErrors: number;
}

/** 2031-03-08T05:00:00Z */
const START = Date.UTC(2031, 2, 8, 5);
const BUNDLE = join(ROOT, 'node_modules', '.spyhole', 'board-sketch', `collector-${process.pid}.mjs`);

let bundled: Promise<unknown> | null = null;

function bundle(): Promise<unknown> {
  if (bundled === null) process.once('exit', () => rmSync(BUNDLE, { force: true }));
  bundled ??= build({
    entryPoints: [join(ROOT, 'tests', 'board-sketch', 'collector-process.ts')],
    outfile: BUNDLE,
    bundle: true,
    platform: 'node',
    format: 'esm',
    target: 'node20',
    packages: 'external',
    logLevel: 'error',
  });
  return bundled;
}

/** Turns bits over, each with the same chance, however rare that is. */
function noisyWire(
  rate: number,
  random: () => number,
): { pass: (text: string) => string; errors: () => number } {
  const gap = () =>
    rate === 0 ? Number.POSITIVE_INFINITY : Math.floor(Math.log(1 - random()) / Math.log(1 - rate));
  let bitsToNext = gap();
  let errors = 0;
  const pass = (text: string) => {
    const bits = 8 * text.length;
    if (bitsToNext >= bits) {
      bitsToNext -= bits;
      return text;
    }
    const bytes = Buffer.from(text, 'latin1');
    let bit = bitsToNext;
    for (; bit < bits; bit += 1 + gap()) {
      bytes.writeUInt8(bytes.readUInt8(bit >> 3) ^ (1 << (bit & 7)), bit >> 3);
      errors += 1;
    }
    bitsToNext = bit - bits;
    return bytes.toString('latin1');
  };
  return { pass, errors: () => errors };
}

interface CollectorProcess {
  /** One question at a time. Rejects when the process has ended. */
  ask(message: StepMessage): Promise<StepAnswer>;
  kill(): Promise<void>;
  readonly gone: Promise<void>;
}

/** Resolves once it watches. */
async function startCollector(args: string[]): Promise<CollectorProcess> {
  const child = fork(BUNDLE, args);
  let answered: (answer: StepAnswer) => void = () => undefined;
  let failed: (why: Error) => void = () => undefined;
  const nextAnswer = () =>
    new Promise<StepAnswer>((resolve, reject) => {
      answered = resolve;
      failed = reject;
    });
  child.on('message', (answer) => answered(answer as StepAnswer));
  const gone = once(child, 'exit').then(([status]) => {
    failed(new Error(`the collector has ended by itself, with ${status}`));
  });
  await nextAnswer();
  return {
    ask: (message) => {
      const answer = nextAnswer();
      child.send(message);
      return answer;
    },
    kill: () => {
      child.kill('SIGKILL');
      return gone;
    },
    gone,
  };
}

/** A board and a new collector, joined by a cable that is plugged in. */
export async function lockstep(options: LockstepOptions): Promise<Lockstep> {
  const { bench, dataFolder, autoReset = false, bitErrorRate = 0, random, stepMs = 100 } = options;
  const wire = noisyWire(bitErrorRate, random);
  let isIn = true;
  let fromBoard = '';
  let child: CollectorProcess | null = null;
  let openings = 0;

  const start = async () => {
    await bundle();
    child = await startCollector([dataFolder, String(START + bench.board.ms)]);
    openings = 0;
  };
  const step = async (ms: number) => {
    bench.go(ms);
    const bytes = isIn ? wire.pass(fromBoard) : '';
    fromBoard = '';
    if (child === null) return;
    const answer = await child.ask({ kind: 'step', ms, bytes, isIn });
    if (autoReset && answer.openings > openings) bench.board.reset();
    openings = answer.openings;
    if (isIn) bench.board.hear(Buffer.from(wire.pass(answer.bytes), 'latin1'));
  };
  bench.onByte = (byte) => {
    fromBoard += String.fromCharCode(byte);
  };
  await start();
  return {
    go: async (ms) => {
      for (let done = 0; done < ms; done += stepMs) await step(Math.min(stepMs, ms - done));
    },
    pull: () => {
      isIn = false;
    },
    plug: () => {
      isIn = true;
    },
    kill: async () => {
      const killed = child;
      child = null;
      await killed?.kill();
    },
    restart: start,
    close: async () => {
      const closing = child;
      child = null;
      await closing?.ask({ kind: 'close' });
      await closing?.gone;
    },
    get bitErrors() {
      return wire.errors();
    },
  };
}
