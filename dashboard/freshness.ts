/** How old what stands on the page is. Ages of readings in firing time, ages of the connection in wall time. */
import type { PageState } from './state.ts';

/** The collector says something every second: after five without a word the page says so. */
export const QUIET_AFTER_MS = 5_000;
/** A reading is old after five usual intervals, the board's own rule for silence; never sooner than this. */
const STALE_INTERVALS = 5;
const STALE_AT_LEAST_MS = 10_000;
/** Beats come each second of the wall clock; two of them may be on their way. */
const BEAT_SLACK_WALL_MS = 2_000;
/** Where no interval is known yet. */
const UNKNOWN_INTERVAL_MS = 6_000;

export interface Freshness {
  /** Firing time now, epoch ms; null before the first welcome. */
  now: number | null;
  /** Age of the newest reading, ms of firing time; null where there is none. */
  ageMs: number | null;
  /** After this age a reading is old. */
  staleAfterMs: number;
  stale: boolean;
  /** For how long the collector has not been heard, ms of the wall clock; null while it speaks. */
  quietForMs: number | null;
  /** Firing time when the collector was last heard, epoch ms; null before the first welcome. */
  knownAt: number | null;
}

/** Firing time now, carried on from the last beat; null before the first welcome. */
export function firingNow(state: Pick<PageState, 'clock' | 'wallMs'>): number | null {
  if (!state.clock) return null;
  return state.clock.now + Math.max(0, state.wallMs - state.clock.toldAtWallMs) * state.clock.rate;
}

function median(values: readonly number[]): number | null {
  return [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? null;
}

export function freshnessOf(state: PageState): Freshness {
  const now = firingNow(state);
  const last = state.firing?.lastReadingAt ?? null;
  const ageMs = now === null || last === null ? null : Math.max(0, now - last);
  const rate = state.clock?.rate ?? 1;
  const intervalMs = median(state.intervalsMs) ?? UNKNOWN_INTERVAL_MS;
  const staleAfterMs =
    Math.max(STALE_AT_LEAST_MS, STALE_INTERVALS * intervalMs) + BEAT_SLACK_WALL_MS * (rate - 1);
  const unheardMs = state.wallMs - state.heardAtWallMs;
  return {
    now,
    ageMs,
    staleAfterMs,
    stale: ageMs !== null && ageMs > staleAfterMs,
    quietForMs: unheardMs >= QUIET_AFTER_MS ? unheardMs : null,
    knownAt: firingNow({ clock: state.clock, wallMs: state.heardAtWallMs }),
  };
}
