/** Sets of whole numbers as ranges, inclusive, in order and apart. */
export interface Range {
  from: number;
  to: number;
}

/** What is left of `ranges` without `from` to `to`, and what of it was in them. */
export function cutOut(ranges: readonly Range[], from: number, to: number): { left: Range[]; cut: Range[] } {
  const left: Range[] = [];
  const cut: Range[] = [];
  for (const range of ranges) {
    if (range.to < from || range.from > to) {
      left.push(range);
      continue;
    }
    cut.push({ from: Math.max(range.from, from), to: Math.min(range.to, to) });
    if (range.from < from) left.push({ from: range.from, to: from - 1 });
    if (range.to > to) left.push({ from: to + 1, to: range.to });
  }
  return { left, cut };
}

/** Both sets in order. They have no number in common. */
export function joined(a: readonly Range[], b: readonly Range[]): Range[] {
  return [...a, ...b].sort((one, other) => one.from - other.from);
}
