/** A port that is open: bytes in, bytes out. The seam at which tests put a port of their own. */
import { execFile } from 'node:child_process';
import type { Readable, Writable } from 'node:stream';
import { SerialPort } from 'serialport';

export interface Port {
  /** Emits `error` or `close`, or both, when the connection breaks. */
  readonly source: Readable;
  readonly sink: Writable;
  isOpen(): boolean;
  /** Resolves when the port is closed, at once if it is closed already. */
  close(): Promise<void>;
}

/** Opens a port, or rejects with the system's error. */
export type OpenPort = (options: { path: string; baudRate: number }) => Promise<Port>;

/**
 * Leaves DTR up when the port is closed, for many boards restart when it moves, and lose the readings they keep.
 * The library's `hupcl: false` does not set the flag, but does not clear it either, and Linux sets it on a new port.
 * Where there is no stty, the board restarts, and the collector lives with that.
 */
function keepDtrUp(path: string): void {
  void setHangUp(path, '-hupcl');
}

/**
 * Lets DTR fall when the port is closed next, and rise when it is opened, as with a cable that is pulled and plugged in
 * again. Resolves, too, where that cannot be had.
 */
export function letDtrFall(path: string): Promise<void> {
  return setHangUp(path, 'hupcl');
}

function setHangUp(path: string, how: 'hupcl' | '-hupcl'): Promise<void> {
  if (process.platform === 'win32') return Promise.resolve();
  const flag = process.platform === 'linux' ? '-F' : '-f';
  return new Promise((resolve) => {
    execFile('stty', [flag, path, how], { timeout: 2_000 }, () => resolve());
  });
}

/** The real thing: USB, Bluetooth, built in, or a pseudo-terminal. Locked against other programs that lock it too. */
export const openSerialPort: OpenPort = ({ path, baudRate }) =>
  new Promise((resolve, reject) => {
    const port = new SerialPort({ path, baudRate, hupcl: false, autoOpen: false });
    // Whoever uses the port has its own listener; this one stays, so that no late error goes unhandled.
    port.on('error', () => undefined);
    const close = () =>
      new Promise<void>((done) => {
        if (!port.isOpen) return done();
        const shut = () => (port.isOpen ? port.close(() => done()) : done());
        // With bytes left to send, the system would hold up the closing until they are gone.
        if (port.writableLength > 0) port.flush(shut);
        else shut();
      });
    port.open((error) => {
      if (error) return reject(error);
      keepDtrUp(path);
      resolve({ source: port, sink: port, isOpen: () => port.isOpen, close });
    });
  });
