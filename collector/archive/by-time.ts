/**
 * The rows of a readings.csv in order of a key, while the file has them in order of arrival. All but the late ones stand
 * right already, so only those are kept in memory: the file is gone through once to find them, and once to put them in.
 */
import { READING_COLUMNS } from '../../protocol/archive-columns.ts';
import { parseTime } from '../../protocol/times.ts';
import { wholeLines } from './lines.ts';

const LF = 10;
const COMMA = 44;
const BOM = '\ufeff';
const FIRST_COLUMN = READING_COLUMNS[0]?.name ?? '';
const TIME_CHARS = 24;

/** The key of a line of the file, or null where it has none: then it stays behind the line before it. */
export type LineKey = (line: Buffer) => number | null;

/** By the time of the reading, epoch ms. */
export function timeKey(): LineKey {
  // The rows of one reading share their time.
  let last = { text: '', at: null as number | null };
  return (line) => {
    const start = line.indexOf(COMMA) + 1;
    const text = line.toString('latin1', start, start + TIME_CHARS);
    if (text !== last.text) last = { text, at: parseTime(text) };
    return last.at;
  };
}

/** By the order of arrival. */
export function arrivalKey(): LineKey {
  return (line) => {
    const cell = line.toString('latin1', 0, line.indexOf(COMMA));
    return /^\d{1,15}$/.test(cell) ? Number(cell) : null;
  };
}

const isHeader = (line: Buffer) => line.toString('utf8').replace(BOM, '').startsWith(`${FIRST_COLUMN},`);

interface Keyed {
  key: number;
  line: Buffer;
  /** Lower than one before it. */
  late: boolean;
}

/** Walks lines in the order of the file and says of each whether it is late. The header is none. */
function walker(keyOf: LineKey) {
  let highest = Number.NEGATIVE_INFINITY;
  let before = Number.NEGATIVE_INFINITY;
  let first = true;
  return (line: Buffer): Keyed => {
    if (first) {
      first = false;
      if (isHeader(line)) return { key: Number.NEGATIVE_INFINITY, line, late: false };
    }
    const key = keyOf(line) ?? before;
    before = key;
    const late = key < highest;
    if (!late) highest = key;
    return { key, line, late };
  };
}

function* linesOf(chunk: Buffer): Generator<Buffer> {
  let start = 0;
  for (let end = chunk.indexOf(LF) + 1; end > 0; end = chunk.indexOf(LF, start) + 1) {
    yield chunk.subarray(start, end);
    start = end;
  }
}

/**
 * The header and then the rows by their key, equal ones as they stood, in pieces of whole lines. A file that grows
 * meanwhile is read as it was at the start. Rejects with the system's error.
 */
export async function* orderedLines(path: string, keyFor: () => LineKey): AsyncGenerator<Buffer> {
  const late: { key: number; line: Buffer }[] = [];
  let bytes = 0;
  const look = walker(keyFor());
  for await (const chunk of wholeLines(path)) {
    bytes += chunk.length;
    for (const line of linesOf(chunk)) {
      const keyed = look(line);
      if (keyed.late) late.push({ key: keyed.key, line: Buffer.from(line) });
    }
  }
  // Array's sort is stable (ECMA-262): what is equal stays as it arrived.
  late.sort((a, b) => a.key - b.key);
  let next = 0;
  const place = walker(keyFor());
  for await (const chunk of wholeLines(path)) {
    const known = chunk.subarray(0, Math.max(0, bytes));
    bytes -= chunk.length;
    const pieces: Buffer[] = [];
    for (const line of linesOf(known)) {
      const keyed = place(line);
      if (keyed.late) continue;
      for (let one = late[next]; one && one.key < keyed.key; one = late[next]) {
        pieces.push(one.line);
        next += 1;
      }
      pieces.push(line);
    }
    if (pieces.length > 0) yield Buffer.concat(pieces);
    if (bytes <= 0) break;
  }
  const rest = late.slice(next).map(({ line }) => line);
  if (rest.length > 0) yield Buffer.concat(rest);
}
