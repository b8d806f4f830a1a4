/**
 * How often a board really reads. What it says of itself may be wrong (seconds for milliseconds, a figure of an older
 * sketch), and whatever goes by its period would be wrong with it: a probe that seems stale between any two readings
 * raises no alert, and a silence of weeks would be none.
 */
import type { Hello } from '../../protocol/board-lines.ts';

/** So many readings in a row are looked at. */
const READINGS = 10;
/** The board's word is taken unless it is off by more than this factor; the judging of readings allows for as much. */
const OFF = 2;
/** The board's clock and the computer's must tell the same pace, within this factor: a link may stall and then hurry. */
const AGREE = 1.5;

export interface Pace {
  /** As the board says it. */
  saidMs: number;
  /** The newest readings, carried on past 2^32, and their arrivals. */
  recent: { seq: number; uptimeMs: number; at: number }[];
}

export function newPace({ periodMs }: Hello): Pace {
  return { saidMs: periodMs, recent: [] };
}

/**
 * Takes in a reading that was not late. The answer is the period that the board keeps, in whole ms, if that is another
 * than `periodMs`, which is held for its period so far; else null.
 */
export function truePeriodMs(
  pace: Pace,
  reading: { seq: number; uptimeMs: number; at: number },
  periodMs: number,
): number | null {
  pace.recent.push(reading);
  if (pace.recent.length > READINGS) pace.recent.shift();
  const [first] = pace.recent;
  if (first === undefined || pace.recent.length < READINGS) return null;
  const readings = reading.seq - first.seq;
  const boardMs = (reading.uptimeMs - first.uptimeMs) / readings;
  const hostMs = (reading.at - first.at) / readings;
  if (isOff(boardMs, hostMs, AGREE) || !isOff(boardMs, periodMs, OFF)) return null;
  return Math.max(1, Math.round(boardMs));
}

function isOff(a: number, b: number, factor: number): boolean {
  return !(a > 0 && b > 0 && a <= factor * b && b <= factor * a);
}
