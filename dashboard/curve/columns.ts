/**
 * The curve's columns: long-lived plain arrays that the plot draws from, °C and epoch ms. In a cell a number is a
 * reading, null is a gap (the line breaks), undefined says that this row is another board's (the line goes on).
 */
import type { Curve } from '../../protocol/firing-record.ts';
import type { Reading } from '../firing.ts';
import { thinOldRows } from './thin.ts';

export type Cell = number | null | undefined;

export interface Columns {
  at: number[];
  kiln: Cell[];
  climbCPerH: Cell[];
  /** Standard deviation of the climb. */
  climbSdCPerH: Cell[];
  probes: { probe: string; tempC: Cell[] }[];
}

export function emptyColumns(): Columns {
  return { at: [], kiln: [], climbCPerH: [], climbSdCPerH: [], probes: [] };
}

/** Columns of a curve as the collector sends it. */
export function columnsFrom(curve: Curve): Columns {
  return {
    at: [...curve.at],
    kiln: [...curve.kiln],
    climbCPerH: [...curve.kilnClimbCPerH],
    climbSdCPerH: [...curve.kilnClimbSdCPerH],
    probes: curve.probes.map(({ probe, tempC }) => ({ probe, tempC: [...tempC] })),
  };
}

/** All columns of values, the times left out. */
export function valueColumns(columns: Columns): Cell[][] {
  return [...kilnColumns(columns), ...columns.probes.map(({ tempC }) => tempC)];
}

function kilnColumns({ kiln, climbCPerH, climbSdCPerH }: Columns): Cell[][] {
  return [kiln, climbCPerH, climbSdCPerH];
}

/** More rows than this are thinned from the oldest on: a screen cannot show them, and a phone should not draw them. */
const MOST_ROWS = 20_000;

/** Adds a reading, in place. `gapMs`: a probe that was silent for longer gets a gap before its new reading. */
export function pushReading(columns: Columns, reading: Reading, gapMs: number): void {
  for (const { probe } of reading.probes) {
    if (columns.probes.some((known) => known.probe === probe)) continue;
    columns.probes.push({ probe, tempC: new Array<Cell>(columns.at.length).fill(null) });
  }
  const row = rowFor(columns, reading.at);
  if (reading.late) {
    // A late reading tells nothing of the kiln as a whole: within a gap of its line the gap goes on.
    const inGap = row === 0 || columns.kiln[row - 1] === null;
    for (const cells of kilnColumns(columns)) cells[row] ??= inGap ? null : undefined;
  } else {
    columns.kiln[row] = reading.kiln.smoothC;
    columns.climbCPerH[row] = reading.kiln.climbCPerH;
    columns.climbSdCPerH[row] = reading.kiln.climbSdCPerH;
  }
  for (const { probe, tempC } of columns.probes) {
    const figures = reading.probes.find((one) => one.probe === probe);
    if (figures) tempC[row] = figures.curveC === undefined ? figures.tempC : figures.curveC;
  }
  if (reading.late) closeFilledGap(columns, row, gapMs);
  else breakAfterSilence(columns, reading, row, gapMs);
  if (columns.at.length > MOST_ROWS) thinOldRows(columns.at, valueColumns(columns), MOST_ROWS / 2);
}

/** How many of these times (rising) are at or before `nowMs`. */
export function countUpTo(times: readonly number[], nowMs: number): number {
  let low = 0;
  let high = times.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((times[middle] ?? 0) <= nowMs) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** Follows a recorded curve to `nowMs`: forward by adding its rows, back by cutting them off. Columns of another curve begin anew. */
export function followTo(columns: Columns, source: Columns, nowMs: number): Columns {
  const rows = countUpTo(source.at, nowMs);
  const names = (one: Columns) => one.probes.map(({ probe }) => probe).join(' ');
  const same = names(columns) === names(source) && columns.at[0] === source.at[0];
  const followed = same
    ? columns
    : { ...emptyColumns(), probes: source.probes.map(({ probe }) => ({ probe, tempC: [] })) };
  const from = valueColumns(source);
  followed.at.length = Math.min(followed.at.length, rows);
  for (let row = followed.at.length; row < rows; row += 1) followed.at.push(source.at[row] ?? 0);
  valueColumns(followed).forEach((cells, column) => {
    cells.length = Math.min(cells.length, rows);
    for (let row = cells.length; row < rows; row += 1) cells.push(from[column]?.[row]);
  });
  return followed;
}

/** Puts a stretch that was asked for again, finer, in the place of the same stretch. Rows outside it stay. */
export function layInStretch(columns: Columns, stretch: Curve): void {
  const first = stretch.at[0];
  const last = stretch.at.at(-1);
  if (first === undefined || last === undefined) return;
  for (const { probe } of stretch.probes) {
    if (columns.probes.some((known) => known.probe === probe)) continue;
    columns.probes.push({ probe, tempC: new Array<Cell>(columns.at.length).fill(null) });
  }
  const from = columns.at.findIndex((at) => at >= first);
  const after = columns.at.findIndex((at) => at > last);
  const start = from < 0 ? columns.at.length : from;
  const dropped = (after < 0 ? columns.at.length : after) - start;
  const rows = stretch.at.length;
  replaceRows(columns.at, start, dropped, stretch.at);
  replaceRows(columns.kiln, start, dropped, stretch.kiln);
  replaceRows(columns.climbCPerH, start, dropped, stretch.kilnClimbCPerH);
  replaceRows(columns.climbSdCPerH, start, dropped, stretch.kilnClimbSdCPerH);
  for (const { probe, tempC } of columns.probes) {
    const cells = stretch.probes.find((one) => one.probe === probe)?.tempC;
    replaceRows(tempC, start, dropped, cells ?? new Array<Cell>(rows).fill(null));
  }
}

/** In place and without spreading: a stretch may hold more rows than a call may have arguments. */
function replaceRows<T>(column: T[], start: number, dropped: number, rows: readonly T[]): void {
  const tail = column.slice(start + dropped);
  column.length = start;
  for (const cell of rows) column.push(cell);
  for (const cell of tail) column.push(cell);
}

/** The row of this time: an existing one, or a new one in its place. */
function rowFor(columns: Columns, at: number): number {
  let row = columns.at.length;
  while (row > 0 && (columns.at[row - 1] ?? 0) >= at) row -= 1;
  if (columns.at[row] === at) return row;
  columns.at.splice(row, 0, at);
  for (const cells of valueColumns(columns)) cells.splice(row, 0, undefined);
  return row;
}

/** Writes a gap before `row` for each column of this reading whose last value is older than `gapMs`. */
function breakAfterSilence(columns: Columns, reading: Reading, row: number, gapMs: number): void {
  const own = columns.probes.filter(({ probe }) => reading.probes.some((one) => one.probe === probe));
  const cells = [...kilnColumns(columns), ...own.map(({ tempC }) => tempC)];
  const broken = cells.filter((column) => {
    const last = lastKnown(column, row - 1);
    return last >= 0 && typeof column[last] === 'number' && reading.at - (columns.at[last] ?? 0) > gapMs;
  });
  if (broken.length === 0) return;
  const between = (columns.at[row - 1] ?? 0) + 1;
  const gapRow = rowFor(columns, between);
  for (const column of broken) column[gapRow] = null;
}

/** The newest row at or before `from` that says anything in this column; -1 if none. */
function lastKnown(column: readonly Cell[], from: number): number {
  let row = from;
  while (row >= 0 && column[row] === undefined) row -= 1;
  return row;
}

/** Late readings fill a gap: its empty row goes once both its neighbours are near each other. */
function closeFilledGap(columns: Columns, row: number, gapMs: number): void {
  for (const gapRow of [row + 1, row - 1]) {
    const before = columns.at[gapRow - 1];
    const after = columns.at[gapRow + 1];
    if (before === undefined || after === undefined || after - before > gapMs) continue;
    const values = valueColumns(columns);
    if (!values.every((cells) => typeof cells[gapRow] !== 'number')) continue;
    columns.at.splice(gapRow, 1);
    for (const cells of values) cells.splice(gapRow, 1);
  }
}
