/**
 * The shell's one clock. Firing time is the system's monotonic clock, scaled by `rate`, plus an offset fixed at the
 * start, so a step of the wall clock (NTP, daylight saving) moves nothing. Every time-out of the shell is set here.
 */
export interface Clock {
  /** Firing seconds in a real second; 1 for a real kiln. */
  readonly rate: number;
  /** Epoch milliseconds of firing time. Never goes back. */
  now(): number;
  /** Calls `fn` once after `delayMs` of firing time; the answer cancels it. */
  after(delayMs: number, fn: () => void): () => void;
  /** It is so much later than this clock says, ms of firing time: it goes on from there. Time-outs stay as they are. */
  skip(ms: number): void;
}

/** Node's timers hold no longer than this (2^31 - 1 ms, some 25 days), and fire at once beyond it. */
const LONGEST_TIMER_MS = 2 ** 31 - 1;

/**
 * A clock that starts at `startMs` (epoch, firing time) and runs `rate` times as fast as real time. `sleptMs` says how
 * long the computer has slept: a real kiln goes on meanwhile, a played one may wait. `awakeMs`: the monotonic clock.
 */
export function systemClock(
  startMs: number,
  rate = 1,
  sleptMs: () => number = () => 0,
  awakeMs: () => number = () => performance.now(),
): Clock {
  const origin = awakeMs();
  let skippedMs = 0;
  return {
    rate,
    now: () => startMs + skippedMs + (awakeMs() - origin + sleptMs()) * rate,
    skip: (ms) => {
      skippedMs += Math.max(0, ms);
    },
    after: (delayMs, fn) => {
      const due = performance.now() + delayMs / rate;
      let timer: NodeJS.Timeout;
      const wait = () => {
        const leftMs = Math.max(0, due - performance.now());
        timer = leftMs > LONGEST_TIMER_MS ? setTimeout(wait, LONGEST_TIMER_MS) : setTimeout(fn, leftMs);
      };
      wait();
      return () => clearTimeout(timer);
    },
  };
}

/** A demo kiln's readings of so long are worked off in a tenth of a second. */
const AT_ONCE_MS = 20 * 60_000;

/**
 * The monotonic clock of a kiln that is made up as it goes, `rate` times as fast as a real one: of a stretch in which
 * nobody looked at it, it counts no more than can be worked off at once. Where the machine cannot reckon as fast as that,
 * the kiln waits for it. Else each stretch would take longer than the one before, and nobody could stop it.
 */
export function waitingMs(rate: number, awakeMs: () => number = () => performance.now()): () => number {
  let lookedAt = awakeMs();
  let countedMs = 0;
  return () => {
    const now = awakeMs();
    countedMs += Math.min(now - lookedAt, AT_ONCE_MS / rate);
    lookedAt = now;
    return countedMs;
  };
}
