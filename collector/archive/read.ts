/**
 * Reads a firing back. A row that cannot be read is told and left out, and the last line of a file that is still being
 * written is left out while it has no end: nothing here throws for what stands in a file.
 */
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { parse } from 'csv-parse/sync';
import { READING_COLUMNS } from '../../protocol/archive-columns.ts';
import { errorCode } from '../error-code.ts';
import type { BrokenRow } from './archive.ts';
import { lastLines, wholeLines } from './lines.ts';
import { takeLogApart } from './log-text.ts';
import { planFileFromText } from './plan-file.ts';
import { readingFromCells } from './row-text.ts';
import type { LogRow, PlanFile, ReadingRow } from './rows.ts';

export type OnBroken = (row: BrokenRow) => void;

const QUOTE = 34;
const [FIRST_COLUMN = ''] = READING_COLUMNS.map((column) => column.name);

const unquoted = (cell: string) =>
  cell.length > 1 && cell.startsWith('"') && cell.endsWith('"') ? cell.slice(1, -1) : cell;

/**
 * Whole lines of readings.csv to rows. No value of it holds a comma, a quote or a line end, so each line is a row for
 * itself and a stray quote costs one row only; cells that a spreadsheet has quoted are taken all the same.
 */
function rowsOf(lines: Buffer, firstLine: number, onBroken: OnBroken): { rows: ReadingRow[]; lines: number } {
  const records: string[][] = parse(lines, {
    bom: true,
    quote: null,
    escape: null,
    record_delimiter: '\n',
    relax_column_count: true,
    max_record_size: 0,
  });
  const quoted = lines.includes(QUOTE);
  const rows: ReadingRow[] = [];
  for (const [i, record] of records.entries()) {
    const last = record.length - 1;
    const end = record[last];
    if (end?.endsWith('\r')) record[last] = end.slice(0, -1);
    const cells = quoted ? record.map(unquoted) : record;
    if (cells.length === 1 && cells[0] === '') continue;
    if (firstLine === 1 && i === 0 && cells[0] === FIRST_COLUMN) continue;
    const row = readingFromCells(cells);
    if (typeof row === 'string') onBroken({ file: 'readings.csv', line: firstLine + i, text: row });
    else rows.push(row);
  }
  return { rows, lines: records.length };
}

const nobody: OnBroken = () => undefined;

/** A file that cannot be read to its end (no right to, or a hurt disk) is told as one broken row; a missing one is empty. */
function unreadable(file: BrokenRow['file'], line: number, error: unknown, onBroken: OnBroken): void {
  const code = errorCode(error);
  if (code !== 'ENOENT')
    onBroken({ file, line, text: `${file} cannot be read from here on (${code}): see to the disk.` });
}

/** The rows of readings.csv in order of arrival, some 2,000 at a time. */
export async function* readReadings(folder: string, onBroken = nobody): AsyncGenerator<ReadingRow[]> {
  let line = 1;
  try {
    for await (const lines of wholeLines(join(folder, 'readings.csv'))) {
      const taken = rowsOf(lines, line, onBroken);
      line += taken.lines;
      if (taken.rows.length > 0) yield taken.rows;
    }
  } catch (error) {
    unreadable('readings.csv', line, error, onBroken);
  }
}

const TAIL_BYTES = 1 << 16;

/** Rows at the end of readings.csv: at least one that was on time if it has any, and all rows of the last reading. */
export async function lastReadings(folder: string): Promise<ReadingRow[]> {
  const path = join(folder, 'readings.csv');
  try {
    for (let bytes = TAIL_BYTES, before = -1; ; bytes *= 8) {
      const lines = await lastLines(path, bytes);
      // Whether the first line is the header does not matter here: it is a broken row, and nobody is told.
      const { rows } = rowsOf(lines, 2, nobody);
      if (rows.some((row) => !row.late) || lines.length === before) return rows;
      before = lines.length;
    }
  } catch {
    return [];
  }
}

/** The rows of log.csv in order. */
export async function readLog(folder: string, onBroken = nobody): Promise<LogRow[]> {
  try {
    const { rows, broken } = takeLogApart(await readFile(join(folder, 'log.csv')));
    for (const { line, text } of broken) onBroken({ file: 'log.csv', line, text });
    return rows;
  } catch (error) {
    unreadable('log.csv', 1, error, onBroken);
    return [];
  }
}

/** plan.json; null if there is none, or none that can be read. */
export async function readPlan(folder: string, onBroken = nobody): Promise<PlanFile | null> {
  try {
    const file = planFileFromText(await readFile(join(folder, 'plan.json'), 'utf8'));
    if (file === null)
      onBroken({ file: 'plan.json', line: 1, text: 'It is no plan: the plan in log.csv is taken instead.' });
    return file;
  } catch (error) {
    unreadable('plan.json', 1, error, onBroken);
    return null;
  }
}
