/**
 * A logger board for tests, at the other end of a pty: it speaks the board's lines, keeps readings and sends them
 * again when asked, and goes on counting while its cable is out.
 */
import { ReadlineParser, SerialPort } from 'serialport';
import { formatBoardLine, type Hello, parseCollectorLine, rangeLength } from '../../protocol/board-lines.ts';
import type { RawValue } from '../../protocol/probes.ts';
import type { Pty } from './pty.ts';

export interface FakeBoardOptions {
  cable: Pty;
  hello: Hello;
  /** The values of each reading; after the last it begins anew. */
  readings: readonly (readonly RawValue[])[];
  coldJunctionC?: number | null;
}

export interface FakeBoard {
  /** Lines of the collector that it has heard, CRC checked, as they came. */
  readonly heard: string[];
  /** The seq of the next reading. */
  readonly nextSeq: number;
  /** Takes the next reading, keeps it, and sends it if it is plugged in. */
  read(): void;
  /** Reads every `paceMs` of the wall clock from now on; the answer stops it. */
  run(paceMs: number): () => void;
  /** Presses a button, 1 to 8. */
  press(button: number): void;
  /** Sends bytes as they are, for junk and for lines of one's own. */
  sendRaw(text: string): void;
  /** Restarts: a new boot, counted from 0, nothing kept, and a hello. */
  restart(boot: string): void;
  pullCable(): Promise<void>;
  plugCable(): Promise<void>;
  /** Stops it and closes its end; the cable stays. */
  close(): Promise<void>;
}

/** Starts a board that is plugged in and has said hello. */
export async function startFakeBoard(options: FakeBoardOptions): Promise<FakeBoard> {
  const { cable, readings, coldJunctionC = 20 } = options;
  const heard: string[] = [];
  const pacers = new Set<NodeJS.Timeout>();
  let { hello } = options;
  let port: SerialPort | null = null;
  let seq = 0;
  let presses = 0;
  let kept: { seq: number; text: string }[] = [];

  const sendRaw = (text: string) => {
    if (port?.isOpen) port.write(text, 'latin1');
  };
  const send = (text: string) => sendRaw(`${text}\n`);
  const sayHello = () => send(formatBoardLine({ kind: 'hello', hello }));
  const give = (from: number, to: number) => {
    const asked = kept.filter((reading) => (reading.seq - from) >>> 0 < rangeLength(from, to));
    for (const { text } of asked) send(text);
    const first = asked[0]?.seq;
    if (first === undefined) send(formatBoardLine({ kind: 'missing', from, to }));
    else if (first !== from) send(formatBoardLine({ kind: 'missing', from, to: first - 1 }));
  };
  const hear = (text: string) => {
    const parsed = parseCollectorLine(text);
    if (!parsed.ok) return;
    heard.push(text);
    if (parsed.line.kind === 'hello?') sayHello();
    if (parsed.line.kind === 'give') give(parsed.line.from, parsed.line.to);
  };
  const openPort = async () => {
    const opening = new SerialPort({ path: cable.boardEnd, baudRate: 115_200, autoOpen: false });
    opening.on('error', () => undefined);
    opening.pipe(new ReadlineParser({ delimiter: '\n', encoding: 'latin1' })).on('data', hear);
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
  const read = () => {
    const values = [...(readings[seq % readings.length] ?? [])];
    const text = formatBoardLine({
      kind: 'reading',
      seq,
      uptimeMs: seq * hello.periodMs,
      coldJunctionC,
      values,
    });
    kept.push({ seq, text });
    kept = kept.slice(-hello.keeps || kept.length);
    seq += 1;
    send(text);
  };

  await openPort();
  sayHello();
  return {
    heard,
    get nextSeq() {
      return seq;
    },
    read,
    run: (paceMs) => {
      const pacer = setInterval(read, paceMs);
      pacers.add(pacer);
      return () => {
        clearInterval(pacer);
        pacers.delete(pacer);
      };
    },
    press: (button) => {
      send(formatBoardLine({ kind: 'button', seq: presses, uptimeMs: seq * hello.periodMs, button }));
      presses += 1;
    },
    sendRaw,
    restart: (boot) => {
      hello = { ...hello, boot };
      seq = 0;
      presses = 0;
      kept = [];
      sayHello();
    },
    pullCable: async () => {
      await closePort();
      await cable.pull();
    },
    plugCable: async () => {
      await cable.plug();
      await openPort();
    },
    close: async () => {
      for (const pacer of pacers) clearInterval(pacer);
      await closePort();
    },
  };
}
