/**
 * Turning points of the kiln's quick signal: when it last turned up after a low, and down after a high. A stoke shows as
 * a dip and a rise; a closed kiln that cools shows neither. Its figures are our own choice.
 */

/** A move back by this much from the last extreme is a turn; less is noise of the couples. */
const TURN_C = 4;
/** The signal is smoothed over this long first, so that a noisy couple read every second makes no turns of its own. */
const SMOOTH_MS = 40_000;

export interface Turns {
  rising: boolean | null;
  at: number;
  quickC: number;
  extremeC: number;
  extremeAt: number;
  /** The last low from which it has risen, and the last high from which it has fallen; epoch ms, °C. */
  lowAt: number | null;
  highAt: number | null;
  highC: number;
}

export function newTurns(): Turns {
  return { rising: null, at: 0, quickC: 0, extremeC: 0, extremeAt: 0, lowAt: null, highAt: null, highC: 0 };
}

/** Takes the mean of the working probes' screened readings; the answer is the turn that it shows, if it shows one. */
export function followTurns(turns: Turns, at: number, tempC: number): 'low' | 'high' | null {
  if (turns.rising === null) {
    turns.rising = true;
    turns.at = at;
    turns.quickC = tempC;
    turns.extremeC = tempC;
    turns.extremeAt = at;
    return null;
  }
  const weight = 1 - Math.exp(-Math.max(at - turns.at, 0) / SMOOTH_MS);
  turns.at = at;
  turns.quickC += weight * (tempC - turns.quickC);
  const further = turns.rising ? turns.quickC - turns.extremeC : turns.extremeC - turns.quickC;
  if (further < 0 && -further < TURN_C) return null;
  const turned = further >= 0 ? null : turns.rising ? 'high' : 'low';
  if (turned === 'high') {
    turns.highAt = turns.extremeAt;
    turns.highC = turns.extremeC;
  } else if (turned === 'low') {
    turns.lowAt = turns.extremeAt;
  }
  if (turned) turns.rising = !turns.rising;
  turns.extremeC = turns.quickC;
  turns.extremeAt = at;
  return turned;
}

/** Forgets the direction, keeps the times: when the set of working probes changes, the signal jumps. */
export function restartTurns(turns: Turns): void {
  turns.rising = null;
}
