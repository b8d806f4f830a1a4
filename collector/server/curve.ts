/**
 * The curve of one firing, in memory: the kiln's level and climb and each probe's temperature, one row a reading, in
 * order of time. Typed columns hold a firing of a week at a reading a second as it came; a longer one is thinned in
 * place, so that memory never grows beyond `maxRows`.
 */
import type { Curve } from '../../protocol/firing-record.ts';
import type { ReadingFlag } from '../core/inputs.ts';
import { type Hole, type Holes, holesOf, noteSeq } from './holes.ts';
import { drawnColumn, GAP, NOTHING, type ThinRows, thinRows } from './thin.ts';

const MAX_ROWS = 600_000;
const FIRST_ROWS = 4096;
/** A line breaks where nothing came for so many periods of its board, or for so long where the period is not known. */
const GAP_PERIODS = 5;
const GAP_UNKNOWN_MS = 60_000;

/** Places of the columns: the kiln's level, its climb, that climb's standard deviation, then the probes. */
const KILN = 0;
const CLIMB = 1;
const CLIMB_SD = 2;
const FIRST_PROBE = 3;

export interface CurveStore {
  length: number;
  at: Float64Array;
  /** Kiln, climb, its deviation, then a column a probe: a value, GAP or NOTHING. */
  columns: Float32Array[];
  probes: string[];
  periodsMs: Map<string, number>;
  /** The board of each probe, and which readings the boards have counted and nobody has. */
  boards: Map<string, string>;
  holes: Holes;
  maxRows: number;
  /** Width of the buckets to which old rows were thinned; 0 as long as every row is as it came. */
  grainMs: number;
  /** Counts changes: what was made from the store is good as long as this stands. */
  revision: number;
}

/** `kiln` is null where the reading says nothing about the kiln as a whole. */
export interface CurveReading {
  at: number;
  /** Which reading it is, so that one that is missing is known; left out, a gap is known by the time alone. */
  of?: { board: string; boot: string; seq: number };
  kiln: { smoothC: number | null; climbCPerH: number | null; climbSdCPerH: number | null } | null;
  probes: readonly { probe: string; curveC: number | null }[];
}

export interface CurveWindow {
  /** Epoch ms; left out: the first and the last reading. */
  from?: number | undefined;
  to?: number | undefined;
  /** In screen pixels. */
  width: number;
}

/** An empty store. `maxRows` (at least 64) bounds its memory: 4 bytes a row and column, and 8 a row for the time. */
export function newCurve(maxRows = MAX_ROWS): CurveStore {
  const rows = Math.min(FIRST_ROWS, maxRows);
  return {
    length: 0,
    at: new Float64Array(rows),
    columns: [new Float32Array(rows), new Float32Array(rows), new Float32Array(rows)],
    probes: [],
    periodsMs: new Map(),
    boards: new Map(),
    holes: new Map(),
    maxRows,
    grainMs: 0,
    revision: 0,
  };
}

const NOT_DRAWN: ReadonlySet<ReadingFlag> = new Set(['open', 'short', 'range', 'stuck', 'spike', 'pulled']);

/**
 * What the curve draws of a probe's temperature: nothing while the probe is dead, frozen, not believed or out of the
 * kiln. A probe that drifts is drawn: it is wrong, but it is what it says.
 */
export function drawnC(tempC: number | null, flags: readonly ReadingFlag[]): number | null {
  return flags.some((flag) => NOT_DRAWN.has(flag)) ? null : tempC;
}

/** Says how often a probe is read, so that a longer silence is known for a gap. */
export function setPeriod(store: CurveStore, probe: string, periodMs: number): void {
  store.periodsMs.set(probe, periodMs);
  store.revision += 1;
}

/** Puts a reading in its place by time; one that came late goes among the earlier ones. */
export function addReading(store: CurveStore, reading: CurveReading): void {
  for (const { probe } of reading.probes) addProbe(store, probe);
  const { of } = reading;
  if (of) {
    noteSeq(store.holes, of, reading.at);
    for (const { probe } of reading.probes) store.boards.set(probe, of.board);
  }
  const place = placeOf(store, reading.at);
  const row = sharesRow(store, place - 1, reading) ? place - 1 : insertRow(store, place, reading.at);
  if (reading.kiln) {
    put(store, KILN, row, reading.kiln.smoothC);
    put(store, CLIMB, row, reading.kiln.climbCPerH);
    put(store, CLIMB_SD, row, reading.kiln.climbSdCPerH);
  }
  for (const { probe, curveC } of reading.probes) {
    put(store, FIRST_PROBE + store.probes.indexOf(probe), row, curveC);
  }
  store.revision += 1;
}

/**
 * The curve from `from` to `to`, and a little beyond so that lines run out of the window: 2 rows a pixel of `width`, up
 * to 4 where lines break. Times never fall; a gap is null and is never bridged.
 */
export function curveOf(store: CurveStore, window: CurveWindow): Curve {
  const from = window.from ?? store.at[0] ?? 0;
  const to = window.to ?? store.at[Math.max(0, store.length - 1)] ?? 0;
  const gapsMs = gapsAfterMs(store);
  const beyondMs = Math.max(...gapsMs);
  const first = placeOf(store, from - beyondMs - 1);
  const end = placeOf(store, to + beyondMs);
  const bucketMs = Math.max(1, Math.ceil((to - from) / Math.max(1, window.width)));
  const thin = thinRows(store, gapsMs, first, end, bucketMs, holesByColumn(store));
  const [kiln, climb, climbSd, ...probes] = thin.columns.map((column) => drawnColumn(thin.at, column));
  return {
    at: thin.at,
    kiln: kiln ?? [],
    kilnClimbCPerH: climb ?? [],
    kilnClimbSdCPerH: climbSd ?? [],
    probes: store.probes.map((probe, index) => ({ probe, tempC: probes[index] ?? [] })),
  };
}

/** Lets go of memory that was kept for readings to come. */
export function trimCurve(store: CurveStore): void {
  store.at = store.at.slice(0, store.length);
  store.columns = store.columns.map((column) => column.slice(0, store.length));
}

function addProbe(store: CurveStore, probe: string): void {
  if (store.probes.includes(probe)) return;
  store.probes.push(probe);
  store.columns.push(new Float32Array(store.at.length).fill(NOTHING));
}

/** Where a row of this time goes: after all that are not later. */
function placeOf(store: CurveStore, at: number): number {
  let low = 0;
  let high = store.length;
  if (high > 0 && (store.at[high - 1] as number) <= at) return high;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if ((store.at[middle] as number) <= at) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** Whether the row has the reading's time and nothing yet of its probes: two boards read at one instant. */
function sharesRow(store: CurveStore, row: number, reading: CurveReading): boolean {
  if (row < 0 || store.at[row] !== reading.at) return false;
  return reading.probes.every(
    ({ probe }) => store.columns[FIRST_PROBE + store.probes.indexOf(probe)]?.[row] === NOTHING,
  );
}

function insertRow(store: CurveStore, place: number, at: number): number {
  if (store.length === store.maxRows) {
    condense(store);
    return insertRow(store, placeOf(store, at), at);
  }
  if (store.length === store.at.length) grow(store);
  const { length } = store;
  if (place < length) {
    store.at.copyWithin(place + 1, place, length);
    for (const column of store.columns) column.copyWithin(place + 1, place, length);
  }
  store.at[place] = at;
  for (const column of store.columns) column[place] = NOTHING;
  store.length = length + 1;
  return place;
}

function put(store: CurveStore, column: number, row: number, value: number | null): void {
  const cells = store.columns[column];
  if (cells) cells[row] = value === null || !Number.isFinite(value) ? GAP : value;
}

function grow(store: CurveStore): void {
  const rows = Math.min(store.maxRows, store.at.length * 2 || FIRST_ROWS);
  const at = new Float64Array(rows);
  at.set(store.at);
  store.at = at;
  store.columns = store.columns.map((old) => {
    const column = new Float32Array(rows).fill(NOTHING);
    column.set(old);
    return column;
  });
}

/** A probe that says nothing for longer than this leaves a gap, ms. */
export function gapAfterMs(store: CurveStore, probe: string): number {
  const periodMs = store.periodsMs.get(probe);
  return Math.max(periodMs === undefined ? GAP_UNKNOWN_MS : GAP_PERIODS * periodMs, 2 * store.grainMs);
}

/** Any board's readings tell of the kiln: its line breaks where one is missing and no other board spoke meanwhile. */
function holesByColumn(store: CurveStore): Hole[][] {
  const all = holesOf(store.holes, null);
  const ofBoards = new Map([...store.holes.keys()].map((board) => [board, holesOf(store.holes, board)]));
  return [all, all, all, ...store.probes.map((probe) => ofBoards.get(store.boards.get(probe) ?? '') ?? [])];
}

function gapsAfterMs(store: CurveStore): number[] {
  const probesMs = store.probes.map((probe) => gapAfterMs(store, probe));
  // Every board's readings tell of the kiln: the slowest says when it has fallen silent.
  const kilnMs = probesMs.length === 0 ? GAP_UNKNOWN_MS : Math.max(...probesMs);
  return [kilnMs, kilnMs, kilnMs, ...probesMs];
}

/** Thins all rows to at most half of the room, so that the next condensing is as far away again. */
function condense(store: CurveStore): void {
  const spanMs = (store.at[store.length - 1] as number) - (store.at[0] as number);
  const bucketMs = Math.max(1, Math.ceil(spanMs / (store.maxRows / 8)));
  const thin: ThinRows = thinRows(store, gapsAfterMs(store), 0, store.length, bucketMs);
  store.grainMs = bucketMs;
  store.length = thin.at.length;
  store.at.set(thin.at);
  for (const [index, column] of thin.columns.entries()) store.columns[index]?.set(column);
}
