/** A board on a cable (WICG Web Serial API). The browser remembers which ports the person has let this page have. */
import type { BoardPort, OpenBoard } from './board-port.ts';

interface PortInfo {
  usbVendorId?: number;
  usbProductId?: number;
}

interface WebSerialPort {
  open(options: { baudRate: number; bufferSize: number }): Promise<void>;
  close(): Promise<void>;
  getInfo(): PortInfo;
  readonly readable: ReadableStream<Uint8Array> | null;
  readonly writable: WritableStream<Uint8Array> | null;
}

interface WebSerial {
  requestPort(): Promise<WebSerialPort>;
  getPorts(): Promise<WebSerialPort[]>;
}

/** More than a board says in a second at any usual speed. */
const BUFFER_BYTES = 64 * 1024;

function webSerial(): WebSerial | null {
  return 'serial' in navigator ? (navigator.serial as WebSerial) : null;
}

export function hasSerial(): boolean {
  return webSerial() !== null;
}

/** From within a press: the browser asks which. Rejects where the person chooses none. */
export async function chooseSerial(): Promise<BoardPort> {
  const port = await webSerial()?.requestPort();
  if (!port) throw new Error('no port');
  return serialBoard(port);
}

/** The port that was chosen on an earlier visit; null where there is none, or more than one. */
export async function knownSerial(): Promise<BoardPort | null> {
  const [port, ...others] = (await webSerial()?.getPorts()) ?? [];
  return port && others.length === 0 ? serialBoard(port) : null;
}

function serialBoard(chosen: WebSerialPort): BoardPort {
  const wanted = JSON.stringify(chosen.getInfo());
  return {
    kind: 'serial',
    async open(baudRate) {
      // A board that was plugged in again is another port to the browser, which it may have all the same.
      const known = (await webSerial()?.getPorts()) ?? [];
      const port = known.includes(chosen)
        ? chosen
        : known.find((each) => JSON.stringify(each.getInfo()) === wanted);
      if (!port) throw new Error('ENOENT');
      await port.open({ baudRate, bufferSize: BUFFER_BYTES });
      return openSerial(port);
    },
  };
}

function openSerial(port: WebSerialPort): OpenBoard {
  let reader: ReadableStreamDefaultReader<Uint8Array> | null = null;
  let closed = false;
  return {
    async read(taken) {
      // After a break, a frame that is off or a buffer that ran over there is a new stream; after a pulled cable none.
      while (port.readable && !closed) {
        reader = port.readable.getReader();
        try {
          for (;;) {
            const { value, done } = await reader.read();
            if (done) break;
            await taken(value);
          }
        } catch {
          // The next stream, if there is one, tells whether it goes on.
        } finally {
          reader.releaseLock();
        }
      }
    },
    async write(bytes) {
      const writer = port.writable?.getWriter();
      if (!writer) return;
      try {
        await writer.write(bytes);
      } finally {
        writer.releaseLock();
      }
    },
    async close() {
      closed = true;
      await reader?.cancel().catch(() => undefined);
      await port.close().catch(() => undefined);
    },
  };
}
