/** Capture files as a stream of records, in memory that does not grow with the file. */
import { createReadStream } from 'node:fs';
import {
  CAPTURE_HEADER,
  type CaptureLine,
  isCaptureHeader,
  parseCaptureLine,
} from '../../protocol/capture.ts';
import { errorCode } from '../error-code.ts';

export interface CaptureBatch {
  /** In the order of the file. */
  lines: CaptureLine[];
  /** Lines of the file among them that are no records. */
  bad: number;
}

/** Small enough that whoever works a batch off at once does not hold up anything else. */
const CHUNK_BYTES = 65_536;
/** A plan with all its fields has some thousand characters. What is longer without a newline is no record. */
const LONGEST_RECORD = 1_000_000;
const LONGEST_HEADER = 64;

function noCapture(path: string, firstLine: string): Error {
  if (/^spyhole-capture \d+$/.test(firstLine.trim()))
    return new Error(`${path} is a capture of another version: this Spyhole reads '${CAPTURE_HEADER}'.`);
  return new Error(`${path} is no capture: its first line must be '${CAPTURE_HEADER}'.`);
}

function unreadable(path: string, error: unknown): Error {
  const code = errorCode(error);
  if (code === 'ENOENT' || code === 'ENOTDIR') return new Error(`There is no file ${path}.`);
  if (code === 'EISDIR') return new Error(`${path} is a folder and no capture: give a file in it.`);
  if (code === 'EACCES') return new Error(`You may not read ${path}: ask whoever it belongs to.`);
  return new Error(`${path} cannot be read any further (${String(error)}).`, { cause: error });
}

/**
 * The records of a capture, a batch at a time, up to the last newline: a line that the file ends in the middle of is
 * left out. Throws an Error of one sentence if the file is no capture or cannot be read.
 */
export async function* readCapture(path: string): AsyncGenerator<CaptureBatch, void, undefined> {
  const stream = createReadStream(path, { encoding: 'utf8', highWaterMark: CHUNK_BYTES });
  const chunks: AsyncIterator<string> = stream[Symbol.asyncIterator]();
  let tail = '';
  let header = true;
  let skipping = false;
  try {
    for (;;) {
      const chunk = await chunks.next().catch((error: unknown) => {
        throw unreadable(path, error);
      });
      if (chunk.done) break;
      const texts = (tail + chunk.value).split('\n');
      tail = texts.pop() ?? '';
      if (header && (texts.length > 0 || tail.length > LONGEST_HEADER)) {
        const first = texts.shift() ?? tail.slice(0, LONGEST_HEADER);
        if (!isCaptureHeader(first)) throw noCapture(path, first);
        header = false;
      }
      if (skipping && texts.length > 0) {
        texts.shift();
        skipping = false;
      }
      const batch = batchOf(texts);
      if (tail.length > LONGEST_RECORD || skipping) {
        if (!skipping) batch.bad += 1;
        skipping = true;
        tail = '';
      }
      if (batch.lines.length > 0 || batch.bad > 0) yield batch;
    }
    if (header && !isCaptureHeader(tail)) throw noCapture(path, tail);
  } finally {
    stream.destroy();
  }
}

function batchOf(texts: string[]): CaptureBatch {
  const batch: CaptureBatch = { lines: [], bad: 0 };
  for (const text of texts) {
    if (text === '' || text === '\r') continue;
    const line = parseCaptureLine(text);
    if (line === null) batch.bad += 1;
    else batch.lines.push(line);
  }
  return batch;
}

/** The time of a capture's first record, epoch ms. Throws an Error of one sentence if it is no capture or has none. */
export async function captureStart(path: string): Promise<number> {
  for await (const { lines } of readCapture(path)) {
    const [first] = lines;
    if (first) return first.at;
  }
  throw new Error(`${path} is a capture with nothing in it.`);
}
