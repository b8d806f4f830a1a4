/**
 * Rows of readings.csv and log.csv to cells of text and back. A strict codec, not a schema, since a firing of a week
 * has 600,000 rows: it must answer in a microsecond a row.
 */
import { stringify } from 'csv-stringify/sync';
import {
  coneCell,
  coneFromCell,
  countFromCell,
  exactCell,
  fixedCell,
  guardText,
  numberFromCell,
  unguardText,
} from '../../protocol/archive-cells.ts';
import { LOG_COLUMNS, READING_COLUMNS, READING_FLAGS } from '../../protocol/archive-columns.ts';
import { RAW_FAULTS, type RawValue } from '../../protocol/probes.ts';
import { STAGES } from '../../protocol/stages.ts';
import { formatTime, parseTime } from '../../protocol/times.ts';
import type { LogRow, ReadingRow } from './rows.ts';

/** Rows of cells to RFC 4180 text; every row ends with CRLF. */
export function csvText(rows: string[][]): string {
  return stringify(rows, { record_delimiter: '\r\n', quote_record_delimiter: true });
}

export const READINGS_HEADER = csvText([READING_COLUMNS.map((column) => column.name)]);
export const LOG_HEADER = csvText([LOG_COLUMNS.map((column) => column.name)]);

const rawCell = (raw: RawValue): string => (typeof raw === 'string' ? raw : exactCell(raw));

/** Cells in the order of READING_COLUMNS. `raw` and the cold junction read back exactly: recovery computes from them. */
export function readingCells(row: ReadingRow): string[] {
  return [
    String(row.arrival),
    formatTime(row.at),
    guardText(row.board),
    guardText(row.boot),
    String(row.seq),
    String(row.uptimeMs),
    exactCell(row.coldJunctionC),
    guardText(row.probe),
    rawCell(row.raw),
    fixedCell(row.tempC, 2),
    fixedCell(row.smoothC, 2),
    fixedCell(row.climbCPerH, 2),
    fixedCell(row.climbSdCPerH, 2),
    coneCell(row.cone),
    row.stage,
    row.late ? '1' : '0',
    row.flags.join(' '),
  ];
}

/** One of `words`, typed. */
function wordOf<Word extends string>(words: readonly Word[], text: string): Word | undefined {
  return words.find((word) => word === text);
}

function rawFromCell(cell: string): RawValue | undefined {
  return cell.startsWith('!') ? wordOf(RAW_FAULTS, cell) : numberFromCell(cell);
}

function flagsFromCell(cell: string): ReadingRow['flags'] | undefined {
  const flags: ReadingRow['flags'] = [];
  if (cell === '') return flags;
  for (const text of cell.split(' ')) {
    const flag = wordOf(READING_FLAGS, text);
    if (flag === undefined) return undefined;
    flags.push(flag);
  }
  return flags;
}

/** The rows of a reading share their time: the last one is remembered, which takes a tenth off the reading of a file. */
let lastTime: { text: string; at: number | null } = { text: '', at: null };

function timeFromCell(cell: string): number | null {
  if (cell !== lastTime.text) lastTime = { text: cell, at: parseTime(cell) };
  return lastTime.at;
}

const notIts = (column: string, cell: string | undefined) =>
  `Its ${column} cannot be '${(cell ?? '').slice(0, 40)}'.`;

const wrongCount = (found: number, wanted: number) => `It has ${found} cells and should have ${wanted}.`;

/** Cells to a row, or a sentence on what is wrong with them. */
export function readingFromCells(cells: string[]): ReadingRow | string {
  if (cells.length !== READING_COLUMNS.length) return wrongCount(cells.length, READING_COLUMNS.length);
  const arrival = countFromCell(cells[0] ?? '');
  if (arrival === undefined) return notIts('arrival', cells[0]);
  const at = timeFromCell(cells[1] ?? '');
  if (at === null) return notIts('time', cells[1]);
  const seq = countFromCell(cells[4] ?? '');
  if (seq === undefined) return notIts('seq', cells[4]);
  const uptimeMs = countFromCell(cells[5] ?? '');
  if (uptimeMs === undefined) return notIts('uptime_ms', cells[5]);
  const coldJunctionC = numberFromCell(cells[6] ?? '');
  if (coldJunctionC === undefined) return notIts('cold_junction_c', cells[6]);
  const raw = rawFromCell(cells[8] ?? '');
  if (raw === undefined) return notIts('raw', cells[8]);
  const tempC = numberFromCell(cells[9] ?? '');
  if (tempC === undefined) return notIts('temp_c', cells[9]);
  const smoothC = numberFromCell(cells[10] ?? '');
  if (smoothC === undefined) return notIts('smooth_c', cells[10]);
  const climbCPerH = numberFromCell(cells[11] ?? '');
  if (climbCPerH === undefined) return notIts('climb_c_per_h', cells[11]);
  const climbSdCPerH = numberFromCell(cells[12] ?? '');
  if (climbSdCPerH === undefined) return notIts('climb_sd_c_per_h', cells[12]);
  const cone = coneFromCell(cells[13] ?? '');
  if (cone === undefined) return notIts('cone', cells[13]);
  const stage = wordOf(STAGES, cells[14] ?? '');
  if (stage === undefined) return notIts('stage', cells[14]);
  if (cells[15] !== '0' && cells[15] !== '1') return notIts('late', cells[15]);
  const flags = flagsFromCell(cells[16] ?? '');
  if (flags === undefined) return notIts('flags', cells[16]);
  const board = unguardText(cells[2] ?? '');
  const boot = unguardText(cells[3] ?? '');
  const probe = unguardText(cells[7] ?? '');
  if (board === '' || boot === '' || probe === '') return 'It names no board, boot or probe.';
  const late = cells[15] === '1';
  return {
    arrival,
    at,
    board,
    boot,
    seq,
    uptimeMs,
    coldJunctionC,
    probe,
    raw,
    tempC,
    smoothC,
    climbCPerH,
    climbSdCPerH,
    cone,
    stage,
    late,
    flags,
  };
}

/** Cells in the order of LOG_COLUMNS. */
export function logCells(row: LogRow): string[] {
  return [
    String(row.entry),
    formatTime(row.at),
    formatTime(row.madeAt),
    guardText(row.who),
    guardText(row.where),
    guardText(row.log),
    JSON.stringify(row.json),
    row.replaces === null ? '' : String(row.replaces),
  ];
}

function isObject(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

/** The text of a JSON object to that object, whole; null if it is none. */
function objectFromJson(text: string): Record<string, unknown> | null {
  try {
    const value: unknown = JSON.parse(text);
    return isObject(value) ? value : null;
  } catch {
    return null;
  }
}

/** Cells to a row, or a sentence on what is wrong with them. */
export function logFromCells(cells: string[]): LogRow | string {
  if (cells.length !== LOG_COLUMNS.length) return wrongCount(cells.length, LOG_COLUMNS.length);
  const entry = countFromCell(cells[0] ?? '');
  if (entry === undefined) return notIts('entry', cells[0]);
  const at = parseTime(cells[1] ?? '');
  if (at === null) return notIts('at', cells[1]);
  const madeAt = parseTime(cells[2] ?? '');
  if (madeAt === null) return notIts('made_at', cells[2]);
  const [who, where, log] = [3, 4, 5].map((i) => unguardText(cells[i] ?? ''));
  if (who === undefined || where === undefined || !log) return 'It has no word for what was logged.';
  const json = objectFromJson(cells[6] ?? '');
  if (json === null) return notIts('json', cells[6]);
  const replaces = cells[7] === '' ? null : countFromCell(cells[7] ?? '');
  if (replaces === undefined) return notIts('replaces', cells[7]);
  return { entry, at, madeAt, who, where, log, json, replaces };
}
