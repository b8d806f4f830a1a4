/**
 * The curve's columns: long-lived plain arrays that the plot draws from, °C and epoch ms. In a cell a number is a
 * reading, null is a gap (the line breaks), undefined says that this row is another board's (the line goes on).
 */
import type { Curve } from '../../protocol/live-messages.ts';
import type { Reading } from '../firing.ts';
import { thinOldRows } from './thin.ts';

export type Cell = number | null | undefined;

export interface Columns {
  at: number[];
  kiln: Cell[];
  climbCPerH: Cell[];
  probes: { probe: string; tempC: Cell[] }[];
}

export function emptyColumns(): Columns {
  return { at: [], kiln: [], climbCPerH: [], probes: [] };
}

/** Columns of a curve as the collector sends it. */
export function columnsFrom(curve: Curve): Columns {
  return {
    at: [...curve.at],
    kiln: [...curve.kiln],
    climbCPerH: [...curve.kilnClimbCPerH],
    probes: curve.probes.map(({ probe, tempC }) => ({ probe, tempC: [...tempC] })),
  };
}

/** All columns of values, the times left out. */
export function valueColumns(columns: Columns): Cell[][] {
  return [columns.kiln, columns.climbCPerH, ...columns.probes.map(({ tempC }) => tempC)];
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
    columns.kiln[row] ??= inGap ? null : undefined;
    columns.climbCPerH[row] ??= inGap ? null : undefined;
  } else {
    columns.kiln[row] = reading.kiln.smoothC;
    columns.climbCPerH[row] = reading.kiln.climbCPerH;
  }
  for (const { probe, tempC } of columns.probes) {
    const figures = reading.probes.find((one) => one.probe === probe);
    if (figures) tempC[row] = figures.tempC;
  }
  if (reading.late) closeFilledGap(columns, row, gapMs);
  else breakAfterSilence(columns, reading, row, gapMs);
  if (columns.at.length > MOST_ROWS) thinOldRows(columns.at, valueColumns(columns), MOST_ROWS / 2);
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
  const cells = [columns.kiln, columns.climbCPerH, ...own.map(({ tempC }) => tempC)];
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
