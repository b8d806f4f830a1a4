/**
 * The emulated board at one end of a pty, its time tied to the wall clock, so many times as fast. It goes on while its
 * cable is out. If the machine is too busy to keep up, it falls behind for a moment and catches up.
 */
import { SerialPort } from 'serialport';
import type { Pty } from '../support/pty.ts';
import type { BenchBoard } from './bench-board.ts';

export interface PtyBoard {
  /** Resolves when the board's own time has come to this. */
  until(ms: number): Promise<void>;
  pullCable(): Promise<void>;
  plugCable(): Promise<void>;
  close(): Promise<void>;
}

const LOOK_EVERY_REAL_MS = 4;
const MOST_AT_ONCE_MS = 3_000;

export async function startPtyBoard(bench: BenchBoard, cable: Pty, rate: number): Promise<PtyBoard> {
  let port: SerialPort | null = null;
  let bytes: number[] = [];
  const [startedMs, startedReal] = [bench.board.ms, performance.now()];
  let waiting: { ms: number; resolve: () => void }[] = [];

  bench.onByte = (byte) => bytes.push(byte);
  const look = () => {
    const dueMs = startedMs + (performance.now() - startedReal) * rate;
    bench.board.runTo(Math.min(dueMs, bench.board.ms + MOST_AT_ONCE_MS));
    if (port?.isOpen && bytes.length > 0) port.write(Buffer.from(bytes));
    bytes = [];
    const come = waiting.filter(({ ms }) => ms <= bench.board.ms);
    waiting = waiting.filter((each) => !come.includes(each));
    for (const { resolve } of come) resolve();
  };
  const timer = setInterval(look, LOOK_EVERY_REAL_MS);

  const openPort = async () => {
    const opening = new SerialPort({ path: cable.boardEnd, baudRate: 115_200, autoOpen: false });
    opening.on('error', () => undefined);
    opening.on('data', (chunk: Buffer) => bench.board.hear(chunk));
    await new Promise<void>((resolve, reject) =>
      opening.open((error) => (error ? reject(error) : resolve())),
    );
    port = opening;
  };
  const closePort = async () => {
    const closing = port;
    port = null;
    if (closing?.isOpen) await new Promise<void>((resolve) => closing.close(() => resolve()));
  };
  await openPort();
  return {
    until: (ms) => new Promise((resolve) => waiting.push({ ms, resolve })),
    pullCable: async () => {
      await closePort();
      await cable.pull();
    },
    plugCable: async () => {
      await cable.plug();
      await openPort();
    },
    close: async () => {
      clearInterval(timer);
      await closePort();
    },
  };
}
