/**
 * For scale: what a mean of five minutes and a bare threshold make of the same readings. No screening, no sawtooth taken
 * out; the stage is the tool's own.
 */
import { STALL_CLIMB_C_PER_H } from './rules.ts';
import type { ToldMinute } from './run.ts';

const MEAN_MIN = 5;
const FOR_MIN = 2;
const LEAST_FORECAST_C_PER_H = 4;
const CLOSE_BELOW_C = 22;

export interface BareMean {
  /** By minute; null where the readings do not reach back far enough. */
  climbs: (number | null)[];
  stallRaisedAt: number[];
  windowRaisedAt: number[];
  /** Minutes until the salting start, by minute. */
  toSaltingMin: (number | null)[];
}

function meanOf(told: readonly (ToldMinute | null)[], from: number, to: number): number | null {
  const known = told.slice(Math.max(0, from), to).flatMap((minute) => minute?.rawC ?? []);
  return from >= 0 && known.length > 0 ? known.reduce((sum, tempC) => sum + tempC, 0) / known.length : null;
}

export function bareMean(told: readonly (ToldMinute | null)[], startC: number): BareMean {
  const made: BareMean = { climbs: [], stallRaisedAt: [], windowRaisedAt: [], toSaltingMin: [] };
  let lowFor = 0;
  let hotFor = 0;
  let windowUp = false;
  told.forEach((minute, i) => {
    const meanC = minute ? meanOf(told, i - MEAN_MIN + 1, i + 1) : null;
    const beforeC = meanOf(told, i - 2 * MEAN_MIN + 1, i - MEAN_MIN + 1);
    const climb = meanC === null || beforeC === null ? null : ((meanC - beforeC) / MEAN_MIN) * 60;
    made.climbs.push(climb);
    const burning = minute !== null && minute.stage !== 'before' && minute.stage !== 'cooling';
    const climbing = minute?.stage === 'climbing' && meanC !== null && meanC < startC;
    const forecast = climbing && climb !== null && climb >= LEAST_FORECAST_C_PER_H;
    made.toSaltingMin.push(forecast ? ((startC - meanC) / climb) * 60 : null);
    if (meanC === null || climb === null) return;
    lowFor = climbing && climb < STALL_CLIMB_C_PER_H ? lowFor + 1 : 0;
    if (lowFor === FOR_MIN + 1) made.stallRaisedAt.push(i + 1);
    hotFor = burning && meanC >= startC ? hotFor + 1 : 0;
    if (hotFor === FOR_MIN + 1 && !windowUp) {
      windowUp = true;
      made.windowRaisedAt.push(i + 1);
    }
    if (meanC < startC - CLOSE_BELOW_C) windowUp = false;
  });
  return made;
}
