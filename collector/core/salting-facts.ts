/**
 * The hour of the salt: what is in and left, its pace, which hole is next, the peak before each lot and whether it has been
 * regained, the draw rings, and the fume. Pure: the core, the live page and the replay of a past firing all count with it.
 */
import { drawsDue, isSaltIn } from '../../alerts/salt-in.ts';
import type { Plan } from '../../protocol/plan.ts';
import type { Stage } from '../../protocol/stages.ts';
import { HOUR_MS, MINUTE_MS } from '../../protocol/units.ts';
import type { Hole } from './stoking.ts';

/** Charges that follow each other within this are one lot; the pace is told over the last half hour. Our own choice. */
const LOT_GAP_MS = 3 * MINUTE_MS;
const PACE_OVER_MS = 30 * MINUTE_MS;
const LEAST_PACE_MS = 5 * MINUTE_MS;
/** The whole of the salt takes about an hour (common practice, no source). */
const PLANNED_MS = HOUR_MS;
/** The peak before a lot is looked for within so long before it. Our own choice. */
export const PEAK_LOOK_BACK_MS = 15 * MINUTE_MS;
/** What was measured longer ago than this says nothing of now. */
const OLD_MS = 5 * MINUTE_MS;
/** A stoke's own dip is over within this; the crest since then is what has been regained. Our own choice. */
const CREST_MS = 10 * MINUTE_MS;
/** So near to the peak it is regained: less is noise. Our own choice. */
const REGAINED_WITHIN_C = 1;
/** A large charge costs at least 20 °F (common practice, no source): who stands so far below the peak waits. */
const LARGE_DIP_C = 11;
/** Enough comes at the third ring, where the draws go as they mostly do (ronphilbeckpottery.com). */
const ENOUGH_AT_RING = 3;

/**
 * The most hydrogen chloride that a gram of salt can make, g: all its chlorine bound to hydrogen, one HCl for each NaCl. By
 * the standard atomic weights, IUPAC 2021, abridged: H 1.008, Na 22.990, Cl 35.45.
 */
export const HCL_PER_SALT = (1.008 + 35.45) / (22.99 + 35.45);

/** A charge that went in; `g` null where it was not weighed. */
export interface SaltCharge {
  at: number;
  hole: Hole;
  g: number | null;
}

/** A draw ring that was pulled, as it was read; null where it was not. */
export interface DrawRing {
  at: number;
  thickness: 'thin' | 'good' | 'heavy' | null;
  orangePeel: boolean;
}

/**
 * What the rings so far say about 'enough': nothing yet, more salt, nearly, enough, or more than enough. They show the
 * build-up of the glaze, not its final colour (ronphilbeckpottery.com).
 */
export type DrawsSay = 'nothing' | 'more' | 'nearly' | 'enough' | 'too-much';

export interface SaltCount {
  inKg: number;
  toGoKg: number;
  byHoleKg: Record<Hole, number>;
  charges: number;
  /** The hole that has had less salt; of equal ones the one that was not last. Null before the first charge. */
  next: Hole | null;
  /** Over the last half hour; null before the first charge. */
  paceKgPerH: number | null;
  /** What the plan's salt comes to in the hour that it usually takes. */
  plannedKgPerH: number;
  lastAt: number | null;
  /** When the lots began. */
  lots: number[];
  draws: { pulled: number; due: number; of: number; nextAtKg: number | null; say: DrawsSay };
  /** The most hydrogen chloride that the salt so far can have made. */
  hclAtMostKg: number;
}

/** What the rings say; the last one that was read speaks. */
export function drawsSay(draws: readonly DrawRing[]): DrawsSay {
  const last = draws.findLast(({ thickness }) => thickness !== null);
  if (!last) return 'nothing';
  if (last.thickness === 'heavy') return 'too-much';
  if (last.thickness === 'thin') return 'more';
  const good = draws.filter(({ thickness }) => thickness === 'good').length;
  return draws.length >= ENOUGH_AT_RING && (good > 1 || last.orangePeel) ? 'enough' : 'nearly';
}

/**
 * Sums the salt as logged, at `nowMs`. `charges` and `draws` in any order; a charge without a weight is one of the plan's;
 * rings pulled before the first charge do not count.
 */
export function saltCount(
  charges: readonly SaltCharge[],
  draws: readonly DrawRing[],
  plan: Pick<Plan, 'saltKg' | 'chargeG'>,
  nowMs: number,
): SaltCount {
  const sorted = [...charges].sort((a, b) => a.at - b.at);
  const byHoleG = { left: 0, right: 0 };
  const lots: number[] = [];
  let recentG = 0;
  let lastAt: number | null = null;
  for (const { at, hole, g } of sorted) {
    const weight = g ?? plan.chargeG;
    byHoleG[hole] += weight;
    if (nowMs - at <= PACE_OVER_MS) recentG += weight;
    if (lastAt === null || at - lastAt > LOT_GAP_MS) lots.push(at);
    lastAt = at;
  }
  const [first, last] = [sorted[0], sorted.at(-1)];
  const inKg = (byHoleG.left + byHoleG.right) / 1000;
  const rings = first ? draws.filter(({ at }) => at >= first.at).sort((a, b) => a.at - b.at) : [];
  const overMs = first ? Math.min(PACE_OVER_MS, Math.max(nowMs - first.at, LEAST_PACE_MS)) : PACE_OVER_MS;
  return {
    inKg,
    toGoKg: isSaltIn(inKg, plan.saltKg) ? 0 : plan.saltKg - inKg,
    byHoleKg: { left: byHoleG.left / 1000, right: byHoleG.right / 1000 },
    charges: sorted.length,
    next: last ? nextHole(byHoleG, last.hole) : null,
    paceKgPerH: last ? (recentG / 1000 / overMs) * HOUR_MS : null,
    plannedKgPerH: (plan.saltKg / PLANNED_MS) * HOUR_MS,
    lastAt,
    lots,
    draws: { pulled: rings.length, ...drawsDue(inKg, plan.saltKg, rings.length), say: drawsSay(rings) },
    hclAtMostKg: inKg * HCL_PER_SALT,
  };
}

function nextHole({ left, right }: Record<Hole, number>, last: Hole): Hole {
  if (left !== right) return left < right ? 'left' : 'right';
  return last === 'left' ? 'right' : 'left';
}

/**
 * The kiln's heat as measured, as far as it is remembered, ascending in time, °C; null where none is known. Not smoothed:
 * what takes the stoking out of the heat halves the dip after a charge, and tells of it minutes late.
 */
export interface Levels {
  at: readonly number[];
  c: readonly (number | null | undefined)[];
}

/** The heat around the newest lot. */
export interface LotHeat {
  beganAt: number;
  /** The highest that the kiln stood before it, the lowest since, and now, °C. */
  peakC: number;
  lowC: number;
  nowC: number;
  /** By how much that peak has not been regained since the low, within the last ten minutes, °C; 0: it has. */
  shortC: number;
}

/** Where the levels of `from` to `to` begin and end. */
function rowsOf({ at }: Levels, from: number, to: number): { first: number; end: number } {
  let end = at.length;
  while (end > 0 && (at[end - 1] ?? 0) > to) end -= 1;
  let first = end;
  while (first > 0 && (at[first - 1] ?? 0) >= from) first -= 1;
  return { first, end };
}

/** The heat around a lot that began at `beganAt`, as it stands at `nowMs`; null where the levels do not reach so far. */
export function lotHeat(levels: Levels, beganAt: number, nowMs: number): LotHeat | null {
  const { at, c } = levels;
  let peakC: number | null = null;
  const before = rowsOf(levels, beganAt - PEAK_LOOK_BACK_MS, beganAt);
  for (let row = before.first; row < before.end; row += 1) {
    const level = c[row];
    if (typeof level === 'number' && (peakC === null || level > peakC)) peakC = level;
  }
  const { end } = rowsOf(levels, beganAt, nowMs);
  const nowC = c[end - 1];
  if (peakC === null || typeof nowC !== 'number' || nowMs - (at[end - 1] ?? 0) > OLD_MS) return null;
  let lowC = nowC;
  let crestC = nowC;
  let since = before.end;
  for (let row = before.end; row < end; row += 1) {
    const level = c[row];
    if (typeof level !== 'number' || level > lowC) continue;
    lowC = level;
    since = row;
  }
  for (let row = since; row < end; row += 1) {
    const level = c[row];
    if (typeof level === 'number' && nowMs - (at[row] ?? 0) <= CREST_MS) crestC = Math.max(crestC, level);
  }
  const shortC = peakC - crestC;
  return { beganAt, peakC, lowC, nowC, shortC: shortC <= REGAINED_WITHIN_C ? 0 : shortC };
}

/** No more lots than this are looked back on: an hour's salt in lots of three minutes and more. */
const MOST_LOTS = 20;

/** The heat around each lot before the newest, as it stood when the next one went in; those that the levels reach. */
export function earlierLots(levels: Levels, lots: readonly number[]): LotHeat[] {
  const shown = lots.slice(-MOST_LOTS - 1);
  return shown.slice(0, -1).flatMap((beganAt, i) => lotHeat(levels, beganAt, shown[i + 1] ?? beganAt) ?? []);
}

/**
 * What to do about the salt: not hot enough yet; no couple says how hot it is; go on; small charges only until the peak is
 * regained; wait for the heat to come back; too cold (the alert `salt-pause` is up); hotter than the plan's top; all that
 * was planned is in; salting is over.
 */
export type SaltSay = 'not-yet' | 'unknown' | 'go' | 'small' | 'wait' | 'cold' | 'hot' | 'all-in' | 'over';

/** `paused`: `salt-pause` is up. `hot`: it is hot enough to begin. `over`: its end was logged, or the stage is past it. */
export function saltSay(
  count: Pick<SaltCount, 'charges' | 'toGoKg'>,
  heat: LotHeat | null,
  now: { levelC: number | null; topC: number; paused: boolean; hot: boolean; over: boolean },
): SaltSay {
  if (now.over) return 'over';
  if (count.charges > 0 && count.toGoKg === 0) return 'all-in';
  if (now.levelC === null) return 'unknown';
  if (now.levelC > now.topC) return 'hot';
  if (now.paused) return 'cold';
  if (count.charges === 0) return now.hot ? 'go' : 'not-yet';
  if (heat === null || heat.shortC === 0) return 'go';
  return heat.shortC >= LARGE_DIP_C ? 'wait' : 'small';
}

/** Whether a stage is past the salt. */
export function isPastSalt(stage: Stage): boolean {
  return stage === 'soak' || stage === 'cooling' || stage === 'open';
}
