/** Salt so far, by the log book: in, to go, pace, which hole is next, and the peak that should be regained. */
import type { Plan } from '../protocol/plan.ts';
import { countingEntries, type Entry, pulledProbes } from './firing.ts';
import type { Moment } from './moment.ts';

const MINUTE = 60_000;
/** Charges that follow each other within this are one lot; the pace is told over the last half hour. Our own choice. */
const LOT_GAP_MS = 3 * MINUTE;
const PEAK_LOOK_BACK_MS = 15 * MINUTE;
const PACE_OVER_MS = 30 * MINUTE;

export type Hole = 'left' | 'right';

export interface SaltSoFar {
  inKg: number;
  toGoKg: number;
  charges: number;
  /** The hole that has had less salt; of equal ones the one that was not last. Null before the first charge. */
  next: Hole | null;
  /** Over the last half hour; null before the first charge. */
  paceKgPerH: number | null;
  lastAt: number | null;
  /** When the newest lot began. */
  lotBeganAt: number | null;
}

function grams(entry: Entry, plan: Plan): number {
  return typeof entry.json.g === 'number' ? entry.json.g : plan.chargeG;
}

function holeOf(entry: Entry): Hole {
  return entry.json.hole === 'right' ? 'right' : 'left';
}

/** Sums the salt entries that count. An entry without a weight is one charge of the plan. */
export function saltSoFar(log: readonly Entry[], plan: Plan, nowMs: number): SaltSoFar {
  const charges = countingEntries(log).filter((row) => row.log === 'salt');
  const byHole = { left: 0, right: 0 };
  let recentG = 0;
  let lotBeganAt: number | null = null;
  let lastAt: number | null = null;
  for (const charge of charges) {
    const g = grams(charge, plan);
    byHole[holeOf(charge)] += g;
    if (nowMs - charge.at <= PACE_OVER_MS) recentG += g;
    if (lastAt === null || charge.at - lastAt > LOT_GAP_MS) lotBeganAt = charge.at;
    lastAt = charge.at;
  }
  const last = charges.at(-1);
  const inKg = (byHole.left + byHole.right) / 1000;
  const other = last && (holeOf(last) === 'left' ? 'right' : 'left');
  const lesser = byHole.left < byHole.right ? 'left' : 'right';
  const first = charges[0];
  const overMs = first ? Math.min(PACE_OVER_MS, Math.max(nowMs - first.at, 5 * MINUTE)) : PACE_OVER_MS;
  return {
    inKg,
    toGoKg: Math.max(0, plan.saltKg - inKg),
    charges: charges.length,
    next: other === undefined ? null : byHole.left === byHole.right ? other : lesser,
    paceKgPerH: last ? (recentG / 1000 / overMs) * 60 * MINUTE : null,
    lastAt,
    lotBeganAt,
  };
}

/** The highest that the kiln stood in the quarter hour before a lot of salt, °C; null where no figure is known. */
export function peakBefore(
  lotBeganAt: number,
  at: readonly number[],
  kilnC: readonly (number | null | undefined)[],
): number | null {
  let peak: number | null = null;
  for (let row = at.length - 1; row >= 0; row -= 1) {
    const time = at[row] ?? 0;
    if (time < lotBeganAt - PEAK_LOOK_BACK_MS) break;
    const value = kilnC[row];
    if (time <= lotBeganAt && typeof value === 'number' && (peak === null || value > peak)) peak = value;
  }
  return peak;
}

/** From so far below the salting start on the salt is at hand: nobody salts colder, °C. Our own choice. */
const AT_HAND_BELOW_C = 200;

/**
 * Whether salt may go in before long, so that its buttons stand under the thumbs. Once it may, it stays so: the kiln's
 * highest so far decides, and where no couple is left nobody can say that it is too cold.
 */
export function saltIsAtHand(
  { firing, log }: Pick<Moment, 'firing' | 'log'>,
  kilnC: readonly (number | null | undefined)[],
): boolean {
  const { stage, plan, probes } = firing;
  if (['salting', 'soak'].includes(stage) || log.some((row) => row.log === 'salt' && !row.undone))
    return true;
  if (stage === 'before' || stage === 'candling') return false;
  const pulled = pulledProbes(log);
  if (plan.saltingStartC === null || probes.every(({ name }) => pulled.has(name))) return true;
  const fromC = plan.saltingStartC - AT_HAND_BELOW_C;
  return kilnC.some((cell) => typeof cell === 'number' && cell >= fromC);
}
