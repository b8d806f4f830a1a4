/**
 * Thinning of rows by time: every bucket keeps the least and the greatest of each column, in the order in which they
 * came, and a gap stays a gap.
 */

/** A cell of a row that says nothing about its column: the row is another board's. */
export const NOTHING = Number.POSITIVE_INFINITY;
/** A cell that says that there is no value: the line is broken here. */
export const GAP = Number.NaN;

/** Rows in order of time (whole ms); `columns` hold a value, GAP or NOTHING for each. */
export interface Rows {
  at: ArrayLike<number>;
  columns: readonly ArrayLike<number>[];
}

export interface ThinRows {
  at: number[];
  columns: number[][];
}

/** A stretch over which no line is drawn: readings between these two times are missing. */
interface Break {
  fromAt: number;
  toAt: number;
}

/** What is known of one column while its rows go by. */
interface Trace {
  column: ArrayLike<number>;
  gapAfterMs: number;
  /** By time, and the first of them that is still ahead. */
  breaks: readonly Break[];
  nextBreak: number;
  lastAt: number | null;
  broken: boolean;
  /** Of the present bucket: places of the extremes, -1 for none, and whether the line breaks before or within it. */
  least: number;
  most: number;
  gapBefore: boolean;
  gapWithin: boolean;
}

/**
 * Rows `first` to `end` (not included) in buckets of `bucketMs`, aligned to whole multiples of it so that a moving
 * window does not shimmer. A column breaks at a GAP, where it says nothing for more than its `gapsAfterMs`, and where two
 * of its values in a row have one of its `breaks` between them. A bucket
 * gives at most two rows of extremes, at the times of its first and last row, and a row that holds GAP before or between
 * them where a column breaks.
 */
export function thinRows(
  rows: Rows,
  gapsAfterMs: readonly number[],
  first: number,
  end: number,
  bucketMs: number,
  breaks: readonly (readonly Break[])[] = [],
): ThinRows {
  const traces = rows.columns.map((column, index): Trace => {
    const gapAfterMs = gapsAfterMs[index] ?? 0;
    const blank = { lastAt: null, broken: false, least: -1, most: -1, gapBefore: false, gapWithin: false };
    return { column, gapAfterMs, breaks: breaks[index] ?? [], nextBreak: 0, ...blank };
  });
  const thin: ThinRows = { at: [], columns: traces.map(() => []) };
  let start = first;
  while (start < end) {
    const bucketEnd = (Math.floor((rows.at[start] as number) / bucketMs) + 1) * bucketMs;
    let stop = start + 1;
    while (stop < end && (rows.at[stop] as number) < bucketEnd) stop += 1;
    for (const trace of traces) gather(trace, rows.at, start, stop);
    emit(thin, traces, rows.at, start, stop, bucketMs);
    start = stop;
  }
  return thin;
}

function gather(trace: Trace, at: ArrayLike<number>, start: number, stop: number): void {
  const { column, gapAfterMs } = trace;
  let { lastAt, broken } = trace;
  let least = -1;
  let most = -1;
  trace.gapBefore = false;
  trace.gapWithin = false;
  for (let row = start; row < stop; row += 1) {
    const value = column[row] as number;
    if (value === NOTHING) continue;
    if (Number.isNaN(value)) {
      broken = true;
      continue;
    }
    const time = at[row] as number;
    const torn = isTorn(trace, lastAt, time);
    if (lastAt !== null && (broken || torn || time - lastAt > gapAfterMs)) {
      if (least === -1) trace.gapBefore = true;
      else trace.gapWithin = true;
    }
    if (least === -1) {
      least = row;
      most = row;
    } else if (value < (column[least] as number)) least = row;
    else if (value > (column[most] as number)) most = row;
    lastAt = time;
    broken = false;
  }
  trace.lastAt = lastAt;
  trace.broken = broken;
  trace.least = least;
  trace.most = most;
}

/** Whether one of the breaks lies between two values that follow each other. Asked in order of time. */
function isTorn(trace: Trace, lastAt: number | null, time: number): boolean {
  let torn = false;
  for (let next = trace.breaks[trace.nextBreak]; next && next.fromAt < time; ) {
    if (next.toAt > time) break;
    torn ||= lastAt !== null && next.fromAt >= lastAt;
    trace.nextBreak += 1;
    next = trace.breaks[trace.nextBreak];
  }
  return torn;
}

function emit(
  thin: ThinRows,
  traces: readonly Trace[],
  at: ArrayLike<number>,
  start: number,
  stop: number,
  bucketMs: number,
): void {
  const push = (time: number, cell: (trace: Trace) => number) => {
    thin.at.push(time);
    traces.forEach((trace, index) => {
      thin.columns[index]?.push(cell(trace));
    });
  };
  const from = at[start] as number;
  const to = at[stop - 1] as number;
  if (traces.some((trace) => trace.gapBefore)) {
    const before = at[start - 1] as number;
    const cell = (trace: Trace) => (trace.gapBefore ? GAP : NOTHING);
    if (from - before > 2 * bucketMs) {
      // A long silence is empty from end to end, so that a cursor in it finds nothing.
      push(before + 1, cell);
      push(from - 1, cell);
    } else push(Math.floor((before + from) / 2), cell);
  }
  push(from, (trace) => valueAt(trace, Math.min(trace.least, trace.most)));
  if (stop - start === 1) return;
  if (traces.some((trace) => trace.gapWithin))
    push(Math.floor((from + to) / 2), (trace) => (trace.gapWithin ? GAP : NOTHING));
  push(to, (trace) => valueAt(trace, Math.max(trace.least, trace.most)));
}

function valueAt(trace: Trace, row: number): number {
  return row === -1 ? NOTHING : (trace.column[row] as number);
}

/**
 * The cells of one thinned column as a line is drawn through them: NOTHING between two values of one unbroken stretch
 * lies on the straight line between them, all else without a value is null. Rounded to 0.01.
 */
export function drawnColumn(at: readonly number[], column: readonly number[]): (number | null)[] {
  const drawn: (number | null)[] = new Array(column.length).fill(null);
  let last = -1;
  for (const [row, value] of column.entries()) {
    if (value === NOTHING) continue;
    if (Number.isNaN(value)) {
      last = -1;
      continue;
    }
    drawn[row] = round(value);
    if (last !== -1 && row - last > 1) drawBetween(drawn, at, column, last, row);
    last = row;
  }
  return drawn;
}

function drawBetween(
  drawn: (number | null)[],
  at: readonly number[],
  column: readonly number[],
  from: number,
  to: number,
): void {
  const startAt = at[from] as number;
  const startValue = column[from] as number;
  const spanMs = (at[to] as number) - startAt;
  const rise = (column[to] as number) - startValue;
  for (let row = from + 1; row < to; row += 1) {
    const share = spanMs === 0 ? 0 : ((at[row] as number) - startAt) / spanMs;
    drawn[row] = round(startValue + rise * share);
  }
}

function round(value: number): number {
  return Math.round(value * 100) / 100;
}
