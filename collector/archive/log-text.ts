/**
 * Takes the text of log.csv apart into rows. A row may span lines (a quoted line end in who or where), a line may have
 * been hurt by hand, and the last row may be torn: a hurt line costs itself and no other, and only what cannot be
 * anything but an unfinished last row counts as torn.
 */
import { parse } from 'csv-parse/sync';
import { logFromCells } from './row-text.ts';
import type { LogRow } from './rows.ts';

/** More lines than this are no row: its three texts may have 80 characters each, all of them line ends. */
const MOST_LINES = 3 * 80 + 1;
const LF = 10;
const QUOTE = 34;

interface Line {
  start: number;
  /** Behind its LF. */
  end: number;
  quotes: number;
}

export interface LogText {
  rows: LogRow[];
  /** `line` is counted from 1. */
  broken: { line: number; text: string }[];
  /** Bytes up to the end of the last whole row, or of the header. */
  keepBytes: number;
}

/** Whole lines only: what stands behind the last LF is torn anyway. */
function linesOf(bytes: Buffer): Line[] {
  const lines: Line[] = [];
  let start = 0;
  let quotes = 0;
  for (let i = 0; i < bytes.length; i++) {
    if (bytes[i] === QUOTE) quotes++;
    if (bytes[i] !== LF) continue;
    lines.push({ start, end: i + 1, quotes });
    start = i + 1;
    quotes = 0;
  }
  return lines;
}

/** One row, or a sentence on why it is none. */
function rowOf(text: string): LogRow | string {
  try {
    const records: string[][] = parse(text, {
      record_delimiter: ['\r\n', '\n'],
      relax_column_count: true,
      max_record_size: 0,
    });
    const [cells] = records;
    return cells === undefined || records.length > 1 ? 'It is not one row.' : logFromCells(cells);
  } catch {
    return 'Its quotes do not match.';
  }
}

/** Takes a whole log.csv, its header included. Never throws. */
export function takeLogApart(bytes: Buffer): LogText {
  const lines = linesOf(bytes);
  const textOf = (from: number, to: number) =>
    bytes.toString('utf8', lines[from]?.start ?? 0, lines[to]?.end ?? 0);
  const rows: LogRow[] = [];
  const broken: LogText['broken'] = [];
  const isHeader = lines.length > 0 && /^\ufeff?"?entry"?,/.test(textOf(0, 0));
  let i = isHeader ? 1 : 0;
  let keepBytes = lines[i - 1]?.end ?? 0;

  /** The last line of the row that begins at line `first`: where its quotes are even; null if they never are. */
  const lastOf = (first: number): number | null => {
    let quotes = 0;
    for (let j = first; j < lines.length && j - first < MOST_LINES; j++) {
      quotes += lines[j]?.quotes ?? 0;
      if (quotes % 2 === 0) return j;
    }
    return null;
  };
  const isGood = (line: number) => typeof rowOf(textOf(line, line)) !== 'string';

  while (i < lines.length) {
    const last = lastOf(i);
    const row = last === null ? 'Its quotes do not match.' : rowOf(textOf(i, last));
    if (last !== null && typeof row !== 'string') {
      rows.push(row);
      keepBytes = lines[last]?.end ?? keepBytes;
      i = last + 1;
      continue;
    }
    // An open quote with no good row behind it is a row that was being written.
    if (last === null && lines.slice(i + 1).every((_, after) => !isGood(i + 1 + after))) break;
    const text = textOf(i, i);
    if (text.trim() !== '') broken.push({ line: i + 1, text: typeof row === 'string' ? row : '' });
    keepBytes = lines[i]?.end ?? keepBytes;
    i += 1;
  }
  return { rows, broken, keepBytes };
}
