/**
 * Whether a board's own temperature, the reference (cold) junction that its probes are read against, can be believed: a
 * wrong one is wrong in every probe of that board, and none of them shows it. The figures are our own choice.
 */
import { MINUTE_MS } from '../../protocol/units.ts';

/** No box that works is colder or hotter than this, °C. */
const COLDEST_C = -30;
const HOTTEST_C = 85;
/** Nor does it warm or cool by more than this within a minute. */
const JUMP_C = 8;
const JUMP_MS = MINUTE_MS;
/** So many of them within so long are no single wild reading; so long after the last one it is believed again. */
const BAD_READINGS = 3;
const BAD_FOR_MS = 10 * MINUTE_MS;

export interface ColdJunction {
  /** What it is compared with; null before the first. */
  sinceAt: number | null;
  sinceC: number;
  /** When it was last not to be believed, at most `BAD_READINGS` times, ascending, and why. */
  badAt: number[];
  why: 'range' | 'jump';
}

export function newColdJunction(): ColdJunction {
  return { sinceAt: null, sinceC: 0, badAt: [], why: 'range' };
}

/** Takes a board's own temperature, °C, at `at`, epoch ms. */
export function noteColdJunction(cold: ColdJunction, at: number, tempC: number): void {
  const outside = tempC < COLDEST_C || tempC > HOTTEST_C;
  const jumped =
    cold.sinceAt !== null && at - cold.sinceAt < JUMP_MS && Math.abs(tempC - cold.sinceC) > JUMP_C;
  if (outside || jumped) {
    cold.why = outside ? 'range' : 'jump';
    cold.badAt.push(at);
    if (cold.badAt.length > BAD_READINGS) cold.badAt.shift();
  }
  if (cold.sinceAt === null || at - cold.sinceAt >= JUMP_MS) {
    cold.sinceAt = at;
    cold.sinceC = tempC;
  }
}

/** Why it is not to be believed at `at`; null where it is. */
export function coldJunctionDoubt({ badAt, why }: ColdJunction, at: number): 'range' | 'jump' | null {
  const [first] = badAt;
  if (first === undefined || badAt.length < BAD_READINGS) return null;
  const last = badAt.at(-1) ?? first;
  return last - first <= BAD_FOR_MS && at - last <= BAD_FOR_MS ? why : null;
}
