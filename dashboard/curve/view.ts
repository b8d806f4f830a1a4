/** Which stretch of time is looked at, and how it is brought closer, wider, earlier or later. Pure. */

/** `whole`; the last so many ms, which go on with the newest; or a stretch that stands still. Epoch ms. */
export type Range = 'whole' | { lastMs: number } | { from: number; to: number };

export interface Stretch {
  from: number;
  to: number;
}

/** All that there is to show: what is expected may reach beyond the newest reading. */
export interface Whole extends Stretch {
  newest: number;
}

/** No closer than a minute: a board reads once in a second or in ten. */
const LEAST_MS = 60_000;

/** About `atMs`, which stays where it is, `factor` times as long (below 1: closer), within `all`. */
export function zoomed(shown: Stretch, all: Whole, atMs: number, factor: number): Range {
  const allMs = all.to - all.from;
  const spanMs = shown.to - shown.from;
  const nextMs = Math.max(Math.min(LEAST_MS, allMs), spanMs * factor);
  if (nextMs >= allMs) return 'whole';
  const part = spanMs > 0 ? (atMs - shown.from) / spanMs : 1;
  const from = atMs - part * nextMs;
  return rangeOf({ from, to: from + nextMs }, all);
}

/** Moved by so many ms (below 0: earlier), within `all`. */
export function moved(shown: Stretch, all: Whole, byMs: number): Range {
  if (shown.to - shown.from >= all.to - all.from) return 'whole';
  return rangeOf({ from: shown.from + byMs, to: shown.to + byMs }, all);
}

/** What two fingers hold stays under them: the moments that were under `before` come to lie under `after`, px from left. */
export function pinched(
  shown: Stretch,
  all: Whole,
  widthPx: number,
  before: readonly [number, number],
  after: readonly [number, number],
): Range {
  const msPerPx = (shown.to - shown.from) / widthPx;
  const apartBefore = Math.max(1, Math.abs(before[1] - before[0]));
  const apartAfter = Math.max(1, Math.abs(after[1] - after[0]));
  const held = shown.from + ((before[0] + before[1]) / 2) * msPerPx;
  const spanMs = Math.max(LEAST_MS, ((shown.to - shown.from) * apartBefore) / apartAfter);
  if (spanMs >= all.to - all.from) return 'whole';
  const from = held - (((after[0] + after[1]) / 2) * spanMs) / widthPx;
  return rangeOf({ from, to: from + spanMs }, all);
}

/** Pushed back into `all`; what reaches the newest goes on with it. */
function rangeOf({ from, to }: Stretch, all: Whole): Range {
  const spanMs = to - from;
  if (to >= all.newest) {
    const lastMs = Math.min(all.newest - from, all.newest - all.from);
    return { lastMs: Math.max(LEAST_MS, lastMs) };
  }
  const start = Math.max(from, all.from);
  return { from: start, to: start + spanMs };
}
