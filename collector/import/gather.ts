/** The rows of a stranger's CSV, one after the other, to readings in order of time. Pure; the state is changed in place. */

import type { LeftOut, Mapping, Tried } from '../../protocol/imports.ts';
import { cFromF, HOUR_MS, MINUTE_MS, SECOND_MS } from '../../protocol/units.ts';
import { addReading, curveOf, newCurve, setPeriod } from '../server/curve.ts';
import { hoursOf, type Moments, numberOf, writtenTime, zoneClock } from './cells.ts';

/** More readings than these are no firing: a week at a reading a second and twice that. */
const MOST_ROWS = 1_300_000;
/** No kiln has heats beyond these, °C. */
const LEAST_C = -50;
const MOST_C = 1800;
/** Pixels of the small curve that is shown before anything is made. */
const LOOK_WIDTH = 300;

export interface Gathered {
  mapping: Mapping;
  local: ((localMs: number) => Moments) | null;
  startMs: number;
  /** By the order of the file; a heat that there is none of is NaN. */
  at: number[];
  columns: number[][];
  seen: number;
  lastAt: number;
  latest: number;
  leftOut: LeftOut;
}

/** Throws one sentence where the time zone or the start cannot be read. */
export function newGathered(mapping: Mapping): Gathered {
  const { time } = mapping;
  let local: Gathered['local'] = null;
  let startMs = 0;
  if (time.kind !== 'epoch') {
    try {
      local = zoneClock(time.zone);
    } catch {
      throw new Error(`There is no time zone ${time.zone}: give one such as Europe/Berlin.`);
    }
    if (time.kind === 'since') {
      const start = writtenTime(time.start, 'ymd');
      if (start === null)
        throw new Error(`${time.start} is no date and time: give one such as 2031-03-08T06:30.`);
      startMs = local(start.localMs).earlier;
    }
  }
  const leftOut = {
    noTime: 0,
    noHeat: 0,
    doubled: 0,
    unsorted: 0,
    doubledHour: 0,
    skippedHour: 0,
    wildHeats: 0,
  };
  const columns = mapping.probes.map((): number[] => []);
  return { mapping, local, startMs, at: [], columns, seen: 0, lastAt: -Infinity, latest: -Infinity, leftOut };
}

/** Takes the next row of the file, those that are to be skipped as well. Throws one sentence where there are too many. */
export function gatherRow(state: Gathered, cells: readonly string[]): void {
  const { mapping, leftOut } = state;
  state.seen += 1;
  if (state.seen <= mapping.skipRows) return;
  const at = timeOf(state, cells);
  if (at === null) {
    leftOut.noTime += 1;
    return;
  }
  const heats = mapping.probes.map(({ column }) => heatOf(state, cells[column] ?? ''));
  if (heats.every(Number.isNaN)) {
    leftOut.noHeat += 1;
    return;
  }
  if (state.at.length >= MOST_ROWS) throw new Error(`The file has more than ${MOST_ROWS} readings: part it.`);
  if (at < state.latest) leftOut.unsorted += 1;
  state.lastAt = at;
  state.latest = Math.max(state.latest, at);
  state.at.push(at);
  heats.forEach((heat, i) => {
    state.columns[i]?.push(heat);
  });
}

function timeOf(state: Gathered, cells: readonly string[]): number | null {
  const { time, decimal } = state.mapping;
  if (time.kind === 'clock')
    return clockTime(state, time.columns.map((i) => cells[i] ?? '').join(' '), time.order);
  const cell = cells[time.column] ?? '';
  if (time.kind === 'since' && time.unit === 'hms') {
    const ms = hoursOf(cell);
    return ms === null ? null : Math.round(state.startMs + ms);
  }
  const value = numberOf(cell, decimal);
  if (value === null) return null;
  const unitMs = { ms: 1, s: SECOND_MS, min: MINUTE_MS, h: HOUR_MS, hms: HOUR_MS }[time.unit];
  const at = Math.round(state.startMs + value * unitMs);
  return Math.abs(at) < 8e15 ? at : null;
}

/**
 * In the hour that there is twice the order of the file tells which one it is: the first, until it would go back in time;
 * then the second.
 */
function clockTime(state: Gathered, text: string, order: 'ymd' | 'dmy' | 'mdy'): number | null {
  const written = writtenTime(text, order);
  if (written === null || state.local === null) return null;
  if (written.offsetMs !== null) return written.localMs - written.offsetMs;
  const { kind, earlier, later } = state.local(written.localMs);
  if (kind === 'skipped') state.leftOut.skippedHour += 1;
  if (kind !== 'doubled') return earlier;
  state.leftOut.doubledHour += 1;
  return earlier < state.lastAt && later >= state.lastAt ? later : earlier;
}

function heatOf({ mapping, leftOut }: Gathered, cell: string): number {
  const value = numberOf(cell, mapping.decimal);
  if (value === null) return Number.NaN;
  const tempC = mapping.unit === 'F' ? cFromF(value) : value;
  if (tempC >= LEAST_C && tempC <= MOST_C) return Math.round(tempC * 100) / 100;
  leftOut.wildHeats += 1;
  return Number.NaN;
}

export interface Arranged {
  at: number[];
  /** °C by probe; null where there is none. */
  columns: (number | null)[][];
  leftOut: LeftOut;
}

/** By time; of rows with one time the first of the file. Throws one sentence where nothing is left. */
export function arranged({ at, columns, leftOut, mapping }: Gathered): Arranged {
  if (at.length === 0)
    throw new Error('No row has a time and a temperature as they are set: look at the columns again.');
  const order = at.map((_, row) => row);
  if (leftOut.unsorted > 0) order.sort((a, b) => (at[a] ?? 0) - (at[b] ?? 0) || a - b);
  const rows = order.filter((row, i) => i === 0 || at[row] !== at[order[i - 1] ?? -1]);
  return {
    at: rows.map((row) => at[row] ?? 0),
    columns: mapping.probes.map((_, i) =>
      rows.map((row) => {
        const heat = columns[i]?.[row] ?? Number.NaN;
        return Number.isNaN(heat) ? null : heat;
      }),
    ),
    leftOut: { ...leftOut, doubled: order.length - rows.length },
  };
}

/** The usual time between two readings, ms. */
export function periodOf(at: readonly number[]): number {
  const gaps = at.slice(1).map((time, i) => time - (at[i] ?? time));
  gaps.sort((a, b) => a - b);
  return Math.max(1, gaps[gaps.length >> 1] ?? MINUTE_MS);
}

/** What would be made of it. */
export function triedOf({ probes }: Mapping, { at, columns, leftOut }: Arranged): Tried {
  const everyMs = periodOf(at);
  const store = newCurve();
  for (const { name } of probes) setPeriod(store, name, everyMs);
  at.forEach((time, row) => {
    const heats = probes.map(({ name }, i) => ({ probe: name, curveC: columns[i]?.[row] ?? null }));
    addReading(store, { at: time, kiln: null, probes: heats });
  });
  return {
    rows: at.length,
    from: at[0] ?? 0,
    to: at.at(-1) ?? 0,
    everyMs,
    probes: probes.flatMap(({ name }, i) => {
      const heats = (columns[i] ?? []).filter((heat) => heat !== null);
      if (heats.length === 0) return [];
      const [leastC, mostC] = [
        heats.reduce((a, b) => Math.min(a, b)),
        heats.reduce((a, b) => Math.max(a, b)),
      ];
      return [{ name, count: heats.length, leastC, mostC }];
    }),
    leftOut,
    curve: curveOf(store, { width: LOOK_WIDTH }),
  };
}
