/** Thins the older part of a curve to what a screen can show, keeping each column's least and greatest of a bucket. */

type Cell = number | null | undefined;

/**
 * In place: rows but the newest `keepRows / 2` fall into buckets of equal time, and of each bucket only those rows stay
 * that hold a column's least or greatest value, or its first gap. About `keepRows` rows remain. Kept rows are unchanged:
 * no value is made up, and a spike or a gap never vanishes.
 */
export function thinOldRows(at: number[], columns: readonly Cell[][], keepRows: number): void {
  const untouched = Math.floor(keepRows / 2);
  const end = at.length - untouched;
  if (end <= 0) return;
  const first = at[0] ?? 0;
  const rowsABucket = 3 * columns.length;
  const buckets = Math.max(1, Math.floor((keepRows - untouched) / rowsABucket));
  const bucketMs = ((at[end - 1] ?? first) - first + 1) / buckets;
  const kept: number[] = [];
  let from = 0;
  for (let bucket = 0; from < end; bucket += 1) {
    let to = from;
    while (to < end && (at[to] ?? 0) < first + (bucket + 1) * bucketMs) to += 1;
    kept.push(...tellingRows(columns, from, to));
    from = to;
  }
  for (let row = end; row < at.length; row += 1) kept.push(row);
  for (const column of [at as Cell[], ...columns]) {
    kept.forEach((row, place) => {
      column[place] = column[row];
    });
    column.length = kept.length;
  }
}

/** Rows of [from, to) that hold a least, a greatest or a first gap of some column, in order. */
function tellingRows(columns: readonly Cell[][], from: number, to: number): number[] {
  const rows = new Set<number>();
  for (const column of columns) {
    let least = -1;
    let greatest = -1;
    let gap = -1;
    for (let row = from; row < to; row += 1) {
      const value = column[row];
      if (value === null && gap < 0) gap = row;
      if (typeof value !== 'number') continue;
      if (least < 0 || value < Number(column[least])) least = row;
      if (greatest < 0 || value > Number(column[greatest])) greatest = row;
    }
    for (const row of [least, greatest, gap]) if (row >= 0) rows.add(row);
  }
  return [...rows].sort((a, b) => a - b);
}
