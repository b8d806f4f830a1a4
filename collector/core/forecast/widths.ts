/**
 * How wide an interval must be to hold what comes four times in five, learnt from the firing's own forecasts: each is
 * kept until its time has come and is then judged by the level that was reached. A quantile is tracked so: a miss widens
 * by four parts, a hit narrows by one (Gibbs & Candès, Adaptive Conformal Inference, 2021; form from memory).
 */

/** The part that may lie outside. */
const MISSES = 0.2;
/** How far it may go from what is believed beforehand: our own choice. */
const NARROWEST = 0.5;
const WIDEST = 2;
/** A forecast is judged up to this much after its time, ms: readings come in gaps. */
const JUDGED_WITHIN_MS = 120_000;

/** A level ahead with its 80 % interval as it would be with a factor of 1; °C. */
export interface LevelAhead {
  lowC: number;
  midC: number;
  highC: number;
}

export interface Widths {
  /** How far ahead is judged, ascending, ms; and how quickly each judgement is learnt from. */
  aheadMs: readonly number[];
  learns: readonly number[];
  /** By what factor the interval there is wider than believed. */
  factors: number[];
  /** Forecasts whose time has not come, oldest first; one level for each of `aheadMs`. */
  pending: { at: number; levels: LevelAhead[] }[];
}

export function newWidths(aheadMs: readonly number[], learns: readonly number[]): Widths {
  return { aheadMs, learns, factors: aheadMs.map(() => 1), pending: [] };
}

/** The factor for a time ahead: straight between those that are judged, by the logarithm of the time. */
export function widthAt({ aheadMs, factors }: Widths, ms: number): number {
  const after = aheadMs.findIndex((each) => each >= ms);
  if (after <= 0) return factors.at(after) ?? 1;
  const [from, to] = [aheadMs[after - 1] ?? ms, aheadMs[after] ?? ms];
  const part = Math.log(ms / from) / Math.log(to / from);
  return (factors[after - 1] ?? 1) * (1 - part) + (factors[after] ?? 1) * part;
}

/** Judges what was said for `at` by the level that is there. */
export function judgeWidths(widths: Widths, at: number, levelC: number): void {
  for (const said of widths.pending) {
    for (const [i, ms] of widths.aheadMs.entries()) {
      const level = said.levels[i];
      const late = at - said.at - ms;
      if (!level || late < 0 || Number.isNaN(level.midC)) continue;
      if (late <= JUDGED_WITHIN_MS) widen(widths, i, level, levelC);
      level.midC = Number.NaN;
    }
  }
  const longest = widths.aheadMs.at(-1) ?? 0;
  widths.pending = widths.pending.filter((said) => at - said.at < longest + JUDGED_WITHIN_MS);
}

function widen(
  { factors, learns }: Widths,
  i: number,
  { lowC, midC, highC }: LevelAhead,
  levelC: number,
): void {
  const factor = factors[i] ?? 1;
  const off = levelC > midC ? (levelC - midC) / (highC - midC) : (midC - levelC) / (midC - lowC);
  const learnt = factor * Math.exp((learns[i] ?? 0) * ((off > factor ? 1 : 0) - MISSES));
  factors[i] = Math.min(Math.max(learnt, NARROWEST), WIDEST);
}

/** What was said is not judged any more: something else has begun. */
export function dropPending(widths: Widths): void {
  widths.pending = [];
}
