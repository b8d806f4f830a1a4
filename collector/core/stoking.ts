/** What is remembered of the stoking: what the signal showed, and how the kiln stood minute by minute. */
import type { KnownLogEntry } from '../../protocol/log-entries.ts';
import type { Stage } from '../../protocol/stages.ts';
import { MINUTE_MS } from '../../protocol/units.ts';
import { medianInterval } from './median-interval.ts';

export type Hole = Extract<KnownLogEntry, { log: 'stoke' }>['hole'];

/** A stoke that was logged, or seen in the signal. Both holes, one after the other, are one, with `hole` null. */
export interface Stoke {
  at: number;
  hole: Hole | null;
  /** Wood that was weighed, and how many lots were not. */
  kg: number;
  unweighed: number;
}

/** The kiln at one minute. */
interface Minute {
  at: number;
  smoothC: number;
  coneValue: number | null;
}

export interface Stoking {
  /** Stokes seen in the signal: the last ones, ascending, and how many there were since the start. */
  seen: number[];
  seenCount: number;
  /** The middle of the last times between them, ms; null while too few were seen. */
  seenEveryMs: number | null;
  /** When the last peaks of the heat were noticed, ascending. */
  peaks: number[];
  minutes: Minute[];
  /** When the stoking was last told, and how it stood. */
  said: { at: number; peakedAt: number | null; lastAt: number | null; stage: Stage | null };
}

/** Stokes and peaks seen in the signal that are remembered; and from how many of the last stokes the rhythm is learnt. */
const SEEN_TURNS = 30;
export const CYCLES = 7;
/** Minutes that are kept: the last stokes, and the pace of the wood, lie within. */
const KEPT_MINUTES = 240;
/** A minute so near tells how the kiln stood. */
const NEAR_MS = 2 * MINUTE_MS;

export function newStoking(): Stoking {
  return {
    seen: [],
    seenCount: 0,
    seenEveryMs: null,
    peaks: [],
    minutes: [],
    said: { at: Number.NEGATIVE_INFINITY, peakedAt: null, lastAt: null, stage: null },
  };
}

/** A stoke was seen in the signal, put in at `at`. */
export function noteSeenStoke(stoking: Stoking, at: number): void {
  stoking.seenCount += 1;
  keepLast(stoking.seen, at);
  stoking.seenEveryMs = medianInterval(stoking.seen.slice(-CYCLES));
}

/** The heat was seen to have peaked at `at`. */
export function noteSeenPeak({ peaks }: Stoking, at: number): void {
  keepLast(peaks, at);
}

/** Stokes may have gone by unseen: the rhythm is to be learnt again. */
export function forgetRhythm(stoking: Stoking): void {
  stoking.seen.length = 0;
  stoking.peaks.length = 0;
  stoking.seenEveryMs = null;
}

function keepLast(times: number[], at: number): void {
  times.push(at);
  if (times.length > SEEN_TURNS) times.shift();
}

/** Notes how the kiln stands, once a minute. */
export function noteMinute(
  { minutes }: Stoking,
  at: number,
  { smoothC, coneValue }: { smoothC: number | null; coneValue: number | null },
): void {
  const last = minutes.at(-1);
  if (smoothC === null || (last && at - last.at < MINUTE_MS)) return;
  minutes.push({ at, smoothC, coneValue });
  if (minutes.length > KEPT_MINUTES) minutes.shift();
}

/** How the kiln stood at `at`: the minute nearest to it; null where none near it was noted. */
export function minuteAt({ minutes }: Stoking, at: number): Minute | null {
  if (at < (minutes[0]?.at ?? at) - NEAR_MS) return null;
  const after = minutes.findLastIndex((minute) => minute.at <= at) + 1;
  const [before, next] = [minutes[after - 1], minutes[after]];
  const nearest = before && next && next.at - at < at - before.at ? next : (before ?? next);
  return nearest && Math.abs(nearest.at - at) <= NEAR_MS ? nearest : null;
}
