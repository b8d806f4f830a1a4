/** How long until a cone, if the climb stays as it is. */
import { HOUR_MS } from '../../../protocol/units.ts';
import { addHeat, coneValue, copyHeatWork, type HeatWork } from './heat-work.ts';

/** Nobody plans further ahead at one climb. */
const MOST_AHEAD_MS = 48 * HOUR_MS;

const STEP_MS = 600_000;
const CLOSE_MS = 1000;

function isReached(state: HeatWork, cone: number): boolean {
  const value = coneValue(state);
  return value !== null && value >= cone;
}

/**
 * Milliseconds until heat work reaches `cone` (on the scale of `parseCone`) if the temperature goes on from `fromC` at
 * `climbCPerH`, to the second; 0 if it is reached already. Null if that takes more than 48 h, as it does when the kiln
 * falls or holds too low. `state` is left as it is.
 */
export function timeToCone(state: HeatWork, cone: number, fromC: number, climbCPerH: number): number | null {
  if (isReached(state, cone)) return 0;
  let ahead = copyHeatWork(state);
  let aheadMs = 0;
  let stepMs = STEP_MS;
  const tempAt = (ms: number) => fromC + (climbCPerH * ms) / HOUR_MS;
  while (aheadMs < MOST_AHEAD_MS) {
    const trial = copyHeatWork(ahead);
    addHeat(trial, tempAt(aheadMs), tempAt(aheadMs + stepMs), stepMs);
    if (!isReached(trial, cone)) {
      ahead = trial;
      aheadMs += stepMs;
    } else if (stepMs <= CLOSE_MS) {
      return aheadMs + stepMs;
    } else {
      stepMs /= 2;
    }
  }
  return null;
}
