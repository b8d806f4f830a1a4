/**
 * How far a probe has slid away from the others over the last hours, and whether places in a kiln explain it.
 *
 * Places differ, and their differences move: front and back can differ by 400 °F on the way and by 150 °F at the top (a
 * potter's published diary). So an offset is no drift, and each pair of probes is measured by its own past in this
 * firing: how far it has been apart, and how much that has usually changed. Where a probe has a near neighbour that has
 * gone with it so far, and parts from it while that one stays with the rest, it is known which of them drifts. Of two
 * probes, or of one that never had a near neighbour, it is only known that they have parted by more than places do.
 * Which of two reads wrong is left open; that the sinking one is named rests on common practice, no source: couples in
 * salt and reduction read low, for good.
 */
import { HOUR_MS, MINUTE_MS } from '../../protocol/units.ts';

/** Levels stand ten minutes apart. */
export const BUCKET_MS = 10 * MINUTE_MS;
/** Two probes must have been seen together for so long before it: 2 h. */
const KNOWN_BUCKETS = 12;
/** Below this the places are only finding their heat, °C; and colder than this says nothing of how they usually move. */
const FROM_C = 400;
const USUAL_FROM_C = 150;

/**
 * What a pair of neighbours may move over a window, as a standard deviation, °C: always; more by the hour; parts of how
 * far apart they were before it, and are now; and what they have usually moved, of which so much is taken as seen.
 */
const ALWAYS_C = 8;
const HOURLY_C = 3;
const PART_OF_WIDEST = 0.35;
const PART_OF_NOW = 0.2;
const USUAL_PRIOR_C = 12;
const USUAL_PRIOR_COUNT = 12;
/** A slide of more standard deviations than this, and of more than this many °C, is a drift. */
const DRIFT_SD = 3;
const DRIFT_C = 35;
/** The neighbour stays with the rest: it moves from them by no more than this part of what the drifting one does. */
const STAYS_PART = 0.6;
/** A near neighbour has been nearer than this part of the distance to all others. */
const NEAR_PART = 0.8;

/** The published differences of places: on the way, and at the top; between these heats it goes from one to the other. */
const APART_ON_THE_WAY_C = 222;
const APART_AT_THE_TOP_C = 83;
const ON_THE_WAY_C = 700;
const AT_THE_TOP_C = 1100;
/** Places that even out may end the other way round by so much, and this part of what they were apart. */
const OVERSHOOT_C = 40;
const OVERSHOOT_PART = 0.4;
/** Two that never were near each other have parted when it is by this much over a window, °C. */
const PARTED_C = 80;

export type Smooth = readonly (readonly (number | null)[])[];

/** How far the first is above the second, °C; null where one of them gave none. */
export function apartC(smooth: Smooth, i: number, j: number, back: number): number | null {
  const [a, b] = [smooth[i]?.[back] ?? null, smooth[j]?.[back] ?? null];
  return a === null || b === null ? null : a - b;
}

/** A probe that has slid: `against` which one, and whether it is known to be this one that drifts. */
export interface Slide {
  i: number;
  against: number;
  kind: 'drift' | 'parts';
  /** How far it was above that one before, and how far it has slid since, °C; up is positive. */
  fromC: number;
  slideC: number;
  /** Beyond 1 it is more than places explain. */
  beyond: number;
  /** Of how many probes. */
  among: number;
}

/** Which of the probes `sound` (places in `smooth`) have slid over the last `window` buckets, more than places explain. */
export function slidesOver(sound: readonly number[], smooth: Smooth, window: number): Slide[] {
  const known = sound.filter((i) => isKnown(smooth[i] ?? [], window));
  const heats = medians(known, smooth);
  const heatC = heats[0] ?? null;
  if (heatC === null || (heats[window] ?? 0) < FROM_C) return [];
  const pairs = new Map<string, Pair>();
  for (const i of known) {
    for (const j of known) {
      const pair = i === j ? null : pairOver(smooth, heats, i, j, window);
      if (pair) pairs.set(`${i}/${j}`, pair);
    }
  }
  return known.flatMap((i) => {
    const others = known.filter((j) => pairs.has(`${i}/${j}`));
    return slideOf(i, others, (a, b) => pairs.get(`${a}/${b}`), heatC) ?? [];
  });
}

/** Whether it gave a level now, before the window, and for long enough before that. */
function isKnown(levels: readonly (number | null)[], window: number): boolean {
  const before = levels.slice(window).filter((level) => level !== null).length;
  return (levels[0] ?? null) !== null && (levels[window] ?? null) !== null && before >= KNOWN_BUCKETS;
}

/** Median heat by buckets back from now. */
function medians(known: readonly number[], smooth: Smooth): (number | null)[] {
  const longest = Math.max(0, ...known.map((i) => smooth[i]?.length ?? 0));
  return Array.from({ length: longest }, (_, back) => {
    const heats: number[] = [];
    for (const i of known) {
      const heatC = smooth[i]?.[back] ?? null;
      if (heatC !== null) heats.push(heatC);
    }
    heats.sort((a, b) => a - b);
    return heats[Math.floor(heats.length / 2)] ?? null;
  });
}

/** Two probes over a window: °C, the first above the second. */
interface Pair {
  thenC: number;
  nowC: number;
  slideC: number;
  /** The farthest they were apart before the window. */
  widestC: number;
  /** Standard deviation of what near neighbours like these move. */
  sdC: number;
}

/** Null where they have not been seen together for long enough. */
function pairOver(
  smooth: Smooth,
  heats: readonly (number | null)[],
  i: number,
  j: number,
  window: number,
): Pair | null {
  const nowC = apartC(smooth, i, j, 0);
  const thenC = apartC(smooth, i, j, window);
  if (nowC === null || thenC === null) return null;
  const hot = (back: number) => (heats[back] ?? 0) >= USUAL_FROM_C;
  let [widestC, together, moves, squares] = [0, 0, USUAL_PRIOR_COUNT, USUAL_PRIOR_COUNT * USUAL_PRIOR_C ** 2];
  for (let back = window; back < heats.length; back += 1) {
    const wereC = apartC(smooth, i, j, back);
    if (wereC === null) continue;
    together += 1;
    widestC = Math.max(widestC, Math.abs(wereC));
    const beforeC = apartC(smooth, i, j, back + window);
    if (beforeC === null || !hot(back) || !hot(back + window)) continue;
    moves += 1;
    squares += (wereC - beforeC) ** 2;
  }
  if (together < KNOWN_BUCKETS) return null;
  const hourly = (HOURLY_C * window * BUCKET_MS) / HOUR_MS;
  const sdC = Math.hypot(
    ALWAYS_C,
    hourly,
    PART_OF_WIDEST * widestC,
    PART_OF_NOW * nowC,
    Math.sqrt(squares / moves),
  );
  return { thenC, nowC, slideC: nowC - thenC, widestC, sdC };
}

type PairOf = (i: number, j: number) => Pair | undefined;

/** What one probe's slide amounts to; null where it is no more than places explain. */
function slideOf(i: number, others: readonly number[], pairOf: PairOf, heatC: number): Slide | null {
  const slideC = (a: number, b: number) => pairOf(a, b)?.slideC ?? 0;
  const against = nearestTo(i, others, pairOf);
  const pair = pairOf(i, against);
  if (!pair) return null;
  const rest = others.filter((k) => k !== against);
  if (!rest.every((k) => slideC(i, k) * pair.slideC > 0)) return null;
  const slide = { i, against, fromC: pair.thenC, slideC: pair.slideC, among: others.length + 1 };
  const sizeC = Math.abs(pair.slideC);
  if (isNear(i, against, rest, pairOf)) {
    const stays = median(rest.map((k) => Math.abs(slideC(against, k))));
    const moves = median(rest.map((k) => Math.abs(slideC(i, k))));
    const beyond = sizeC / (DRIFT_SD * pair.sdC);
    const drifts = stays <= STAYS_PART * moves && sizeC >= DRIFT_C && beyond > 1;
    return drifts ? { ...slide, kind: 'drift', beyond } : null;
  }
  // Of two, the sinking one is named.
  if (rest.length === 0 && pair.slideC > 0) return null;
  const inStep = others.every((a) => others.every((b) => Math.abs(slideC(a, b)) <= STAYS_PART * sizeC));
  const beyond = partedBeyond(pair, heatC);
  return inStep && sizeC >= PARTED_C && beyond > 1 ? { ...slide, kind: 'parts', beyond } : null;
}

function nearestTo(i: number, others: readonly number[], pairOf: PairOf): number {
  const widestC = (j: number) => pairOf(i, j)?.widestC ?? Number.POSITIVE_INFINITY;
  return others.reduce((near, j) => (widestC(j) < widestC(near) ? j : near), others[0] ?? i);
}

/** Whether the two have been each other's nearest, and well nearer than to any other. */
function isNear(i: number, j: number, rest: readonly number[], pairOf: PairOf): boolean {
  const widestC = (a: number, b: number) => pairOf(a, b)?.widestC ?? 0;
  const nearC = widestC(i, j);
  return (
    rest.length > 0 &&
    rest.every((k) => nearC <= widestC(j, k)) &&
    rest.every((k) => nearC < NEAR_PART * widestC(i, k))
  );
}

/** How far two places have come out of the range in which places lie, where 1 is its edge. */
function partedBeyond({ thenC, nowC }: Pair, heatC: number): number {
  const wasC = Math.abs(thenC);
  const isC = thenC < 0 ? -nowC : nowC;
  if (isC < 0) return -isC / (OVERSHOOT_C + OVERSHOOT_PART * wasC);
  const share = Math.min(Math.max((heatC - ON_THE_WAY_C) / (AT_THE_TOP_C - ON_THE_WAY_C), 0), 1);
  const edgeC = APART_ON_THE_WAY_C + share * (APART_AT_THE_TOP_C - APART_ON_THE_WAY_C);
  return isC / Math.max(edgeC, wasC + OVERSHOOT_C);
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  const upper = sorted[middle] ?? 0;
  return sorted.length % 2 === 1 ? upper : ((sorted[middle - 1] ?? 0) + upper) / 2;
}
