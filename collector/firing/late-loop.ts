/**
 * Up to when everything that came over the links has been looked at. A process that was held up (a busy machine, a lid
 * that was closed) finds what came meanwhile only after it wakes: until then its own lateness is no silence of a board.
 */

/** The hands look at their clock every quarter second of real time; later than this they were held up. */
const HELD_UP_REAL_MS = 1000;
/** So many looks after that, what lay in the ports has been read. */
const LOOKS_TO_CATCH_UP = 3;

export interface LateLoop {
  heldUpMs: number;
  lookedAt: number;
  /** While it catches up: the time up to which all has been heard, and how many looks it still takes. */
  heardTo: number;
  catchingUp: number;
}

/** `rate`: firing seconds in a real one. */
export function newLateLoop(at: number, rate: number): LateLoop {
  return { heldUpMs: HELD_UP_REAL_MS * rate, lookedAt: at, heardTo: at, catchingUp: 0 };
}

/** A look at the clock, at `at` (epoch ms). */
export function lookedAgain(loop: LateLoop, at: number): void {
  if (at - loop.lookedAt > loop.heldUpMs) {
    if (loop.catchingUp === 0) loop.heardTo = loop.lookedAt;
    loop.catchingUp = LOOKS_TO_CATCH_UP;
  } else if (loop.catchingUp > 0) {
    loop.catchingUp -= 1;
  }
  if (loop.catchingUp === 0) loop.heardTo = at;
  loop.lookedAt = at;
}

/** Up to when all has been heard, as it is known at `at`. */
export function heardToAt(loop: LateLoop, at: number): number {
  const heldUp = loop.catchingUp > 0 || at - loop.lookedAt > loop.heldUpMs;
  return heldUp ? loop.heardTo : at;
}
