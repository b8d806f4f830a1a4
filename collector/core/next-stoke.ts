/**
 * The next stoke: when it is due by the last few cycles, and whether the heat has peaked, so that it is due now. A stoke
 * put in before the heat has turned down is too soon (karatsupots.com: one potter waits for that turn).
 */
import type { KilnView } from '../../alerts/view.ts';
import { isBurning } from '../../protocol/stages.ts';
import { HOUR_MS, MINUTE_MS, SECOND_MS } from '../../protocol/units.ts';
import type { NextStoke, Spread } from './inputs.ts';
import type { FiringState } from './state.ts';
import { CYCLES, type Hole, type Stoke } from './stoking.ts';
import { hasPeaked } from './turns.ts';

/** A stoke that was logged counts as known for so long; after that the signal is asked. */
const LOGGED_LATELY_MS = 2 * HOUR_MS;
/** A cycle is learnt from three at least. */
const LEAST_CYCLES = 3;
/** What turns down sooner than this after a stoke is its dip. */
const SOONEST_PEAK_MS = 45 * SECOND_MS;
/** So many usual intervals after the last stoke the rhythm is lost. */
const LOST_INTERVALS = 3;
/** The span of the next stoke holds the middle part of the last ones, and at least this much to both sides. */
const SPAN_PART = 0.2;
const LEAST_SPAN_MS = 30 * SECOND_MS;

/** Whether the last stoke was logged so lately that the log is gone by. */
function isLogged({ logged: { stokes } }: FiringState, at: number): boolean {
  const last = stokes.at(-1);
  return last !== undefined && at - last.at < LOGGED_LATELY_MS;
}

/** The stokes that are known lately, ascending. */
export function lastStokes(state: FiringState, at: number): Stoke[] {
  if (isLogged(state, at)) return state.logged.stokes;
  return state.stoking.seen.map((seenAt) => ({ at: seenAt, hole: null, kg: 0, unweighed: 1 }));
}

export type StokeFacts = KilnView['stoke'] & { seenOrLoggedAt: number | null };

/** What the rules and the stage go by. */
export function stokeFacts(state: FiringState, at: number): StokeFacts {
  const logged = isLogged(state, at);
  const seenAt = state.stoking.seen.at(-1) ?? null;
  const loggedAt = state.logged.rhythm.lastAt;
  const lastAt = logged ? loggedAt : seenAt;
  return {
    lastAt,
    logged,
    medianIntervalMs: logged ? state.logged.rhythm.medianIntervalMs : state.stoking.seenEveryMs,
    peakedAt: peakedAt(state, lastAt),
    seenOrLoggedAt: loggedAt === null ? seenAt : Math.max(loggedAt, seenAt ?? 0),
  };
}

/** When the turn of the heat was noticed, if it is one since the last stoke; else null. */
function peakedAt({ turns }: FiringState, lastAt: number | null): number | null {
  const { noticedAt } = turns;
  if (!hasPeaked(turns) || noticedAt === null) return null;
  return lastAt === null || noticedAt >= lastAt + SOONEST_PEAK_MS ? noticedAt : null;
}

/** Low, middle and high of some spans of time; null of too few. */
function spreadOf(spans: readonly number[]): Spread | null {
  if (spans.length < LEAST_CYCLES) return null;
  const sorted = [...spans].sort((a, b) => a - b);
  const part = (share: number) => sorted[Math.round(share * (sorted.length - 1))] ?? 0;
  const mid = part(0.5);
  return {
    low: Math.min(part(SPAN_PART), mid - LEAST_SPAN_MS),
    mid,
    high: Math.max(part(1 - SPAN_PART), mid + LEAST_SPAN_MS),
  };
}

/** From each of the last stokes to the peak that followed it before the next one, where one did. */
function toPeaks(stokes: readonly Stoke[], peaks: readonly number[]): number[] {
  return stokes.slice(-CYCLES).flatMap(({ at }, i, last) => {
    const until = last[i + 1]?.at ?? Number.POSITIVE_INFINITY;
    const peak = peaks.find((each) => each >= at + SOONEST_PEAK_MS && each < until);
    return peak === undefined ? [] : [peak - at];
  });
}

/** The other hole, where the last stokes have gone into one and the other by turns. */
function nextHole(stokes: readonly Stoke[]): Hole | null {
  const [a, b, c] = stokes.slice(-3).map(({ hole }) => hole);
  if (!a || !b || !c || a === b || b === c) return null;
  return c === 'left' ? 'right' : 'left';
}

/**
 * The next stoke as it stands at `at`; null where nothing can be said of it: no rhythm is known, or the kiln is not
 * being fired. By the time to the peak where most of the last cycles had one, else by the interval.
 */
export function nextStoke(state: FiringState, facts: StokeFacts, at: number): NextStoke | null {
  const { stage } = state.stage;
  if (!isBurning(stage) && stage !== 'candling') return null;
  const { lastAt } = facts;
  if (lastAt === null) return null;
  const stokes = lastStokes(state, at);
  const hole = nextHole(stokes);
  if (facts.peakedAt !== null) return { dueInMs: { low: 0, mid: 0, high: 0 }, peaked: true, hole };
  const intervals = stokes.slice(-CYCLES).flatMap((stoke, i, last) => {
    const next = last[i + 1];
    return next ? [next.at - stoke.at] : [];
  });
  const byPeak = toPeaks(stokes, state.stoking.peaks);
  const spread =
    2 * byPeak.length >= intervals.length ? (spreadOf(byPeak) ?? spreadOf(intervals)) : spreadOf(intervals);
  const usualMs = facts.medianIntervalMs ?? spread?.mid;
  if (!spread || !usualMs || at - lastAt > LOST_INTERVALS * Math.max(usualMs, MINUTE_MS)) return null;
  const left = (afterMs: number) => Math.max(0, lastAt + afterMs - at);
  return {
    dueInMs: { low: left(spread.low), mid: left(spread.mid), high: left(spread.high) },
    peaked: false,
    hole,
  };
}
