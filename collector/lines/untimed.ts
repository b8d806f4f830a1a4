/**
 * Late readings of a long gap wait for new ones. How far the board's clock has run off meanwhile is told by what comes in
 * time after it, and the first such line may itself be late by as much as the link pleases: with one new reading of a board
 * that reads each 20 s, one gap of an hour in thirty would be timed worse than 50 ms, with six none in a thousand was.
 */
import { MINUTE_MS } from '../../protocol/units.ts';
import type { Arrived, Judged } from './arrived.ts';

/** In a shorter gap no clock runs off by much. */
const LONG_GAP_MS = 10 * MINUTE_MS;
const ENOUGH_READINGS = 6;
/** But whoever reads so seldom, or has fallen silent again, is not waited for any longer. */
const LONGEST_WAIT_MS = 3 * MINUTE_MS;

/** A late reading, judged. */
export interface UntimedReading {
  reading: Arrived;
  judged: Judged;
}

/** `heard`: readings that came in time since the last long gap. */
export interface Untimed {
  heard: number;
  waiting: UntimedReading[];
}

export function newUntimed(): Untimed {
  return { heard: ENOUGH_READINGS, waiting: [] };
}

/** A reading came in time, `sinceMs` by the board's uptime after the one before it. */
export function noteInTime(untimed: Untimed, sinceMs: number): void {
  if (sinceMs >= LONG_GAP_MS) untimed.heard = 1;
  else if (untimed.heard < ENOUGH_READINGS) untimed.heard += 1;
}

/** Whether the board's clock is known well enough to say when a late reading was. */
export function canTime({ heard }: Untimed): boolean {
  return heard >= ENOUGH_READINGS;
}

/** Takes out what waits, if the clock is known by now or it has waited for long enough. */
export function takeTimed(untimed: Untimed, at: number): UntimedReading[] {
  const [oldest] = untimed.waiting;
  if (oldest === undefined) return [];
  if (!canTime(untimed) && at - oldest.reading.at < LONGEST_WAIT_MS) return [];
  return takeWaiting(untimed);
}

/** Takes out all that waits: nothing more will come. */
export function takeWaiting(untimed: Untimed): UntimedReading[] {
  return untimed.waiting.splice(0);
}
