/**
 * From a port's bytes to whole lines:
 *
 *     source -> guard -> readline parser -> line
 *               (no line longer than the limit)
 *
 * New for each connection, and used up with it.
 */
import { type Readable, Transform } from 'node:stream';
import { ReadlineParser } from '@serialport/parser-readline';

/** A framed line has 240 bytes at most; a plain board's may be longer. */
export const LINE_LIMIT_BYTES = 512;

const LF = 0x0a;

/**
 * Passes bytes on, but of any one line no more than one byte over the limit: the parser behind it would otherwise
 * grow for ever while no newline comes, as at a wrong baud rate. `overlong` is called once for each such line.
 */
export function lineGuard(overlong: () => void): { guard: Transform; unfinished: () => boolean } {
  let lineBytes = 0;
  const guard = new Transform({
    transform(chunk: Buffer, _encoding, done) {
      for (let start = 0; start < chunk.length; ) {
        const lf = chunk.indexOf(LF, start);
        const end = lf === -1 ? chunk.length : lf;
        const room = Math.max(0, LINE_LIMIT_BYTES + 1 - lineBytes);
        if (room > 0) this.push(chunk.subarray(start, Math.min(end, start + room)));
        const before = lineBytes;
        lineBytes += end - start;
        if (before <= LINE_LIMIT_BYTES && lineBytes > LINE_LIMIT_BYTES) overlong();
        if (lf === -1) break;
        this.push(chunk.subarray(lf, lf + 1));
        lineBytes = 0;
        start = lf + 1;
      }
      done();
    },
  });
  return { guard, unfinished: () => lineBytes > 0 && lineBytes <= LINE_LIMIT_BYTES };
}

/** At a wrong speed about half of all bytes are no text; of fewer bytes than this nothing can be said. */
const GARBLED = { atLeastBytes: 32, oddShare: 0.4 };

export interface Tally {
  bytes: number;
  /** How many of them are no ASCII text: at a wrong baud rate, many. */
  odd: number;
}

/** Whether the speed is likely wrong. `before`: what was thought of it so far, which stands if too little has come. */
export function isGarbled({ bytes, odd }: Tally, before: boolean): boolean {
  return bytes >= GARBLED.atLeastBytes ? odd > bytes * GARBLED.oddShare : before;
}

export interface PortLines {
  /** Bytes since the last call. */
  tally(): Tally;
  /** Lets go of the source. A line that had only begun is dropped. */
  stop(): void;
}

/**
 * Reads lines from a source that was just opened. The first line is handed on only if it starts with `$`: it is
 * usually torn, and what is framed shows by its CRC whether it is. Bytes are taken as latin1, so that none is lost.
 */
export function readPortLines(
  source: Readable,
  line: (text: string) => void,
  dropped: () => void,
): PortLines {
  let first = true;
  let bytes = 0;
  let odd = 0;
  const { guard, unfinished } = lineGuard(dropped);
  const parser = new ReadlineParser({ delimiter: '\n', encoding: 'latin1' });
  const count = (chunk: Buffer) => {
    bytes += chunk.length;
    for (const byte of chunk) if (byte > 0x7e || (byte < 0x20 && (byte < 0x09 || byte > 0x0d))) odd += 1;
  };
  parser.on('data', (raw: string) => {
    const torn = first && !raw.startsWith('$');
    first = false;
    if (raw.length > LINE_LIMIT_BYTES) return;
    if (torn) return dropped();
    line(raw.endsWith('\r') ? raw.slice(0, -1) : raw);
  });
  source.on('data', count);
  // Not ended with the source: the parser would give out the torn tail as a line.
  source.pipe(guard, { end: false }).pipe(parser);
  return {
    tally: () => {
      const since = { bytes, odd };
      bytes = 0;
      odd = 0;
      return since;
    },
    stop: () => {
      source.off('data', count);
      source.unpipe(guard);
      if (unfinished()) dropped();
      guard.destroy();
      parser.destroy();
    },
  };
}
