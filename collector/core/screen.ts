/**
 * The screen in front of the track: single wild readings are kept out, a real jump is believed once it stays, and a
 * read-out that has frozen is told from a kiln that stands still (a kiln that is stoked always ripples).
 */

/** A change larger than this from the last good reading, plus this rate, is not believed at once. */
const SPIKE_C = 35;
const SPIKE_C_PER_S = 0.5;
/** Beyond this long without a good reading any value is taken. */
const FORGET_MS = 5 * 60_000;
/** So many readings in a row that agree with each other are a jump that really happened. */
const JUMP_READINGS = 4;
const JUMP_AGREE_C = 20;

/** The very same value for this long and so many readings is a frozen read-out: hot and burning, or cooling. */
const FROZEN_MS = 5 * 60_000;
const FROZEN_COOLING_MS = 90 * 60_000;
const FROZEN_READINGS = 12;
/** Below this a kiln may really stand at one value of a coarse chip. */
const FROZEN_ABOVE_C = 150;

/** So many spikes among the last `SPIKE_WINDOW` readings are a loose couple. */
const SPIKE_WINDOW = 30;
const SPIKES_LOOSE = 4;

export interface Screen {
  goodAt: number | null;
  goodC: number;
  /** The last readings that were not believed. */
  doubted: number;
  doubtedC: number;
  /** Bits of the last readings, newest lowest: 1 a spike. */
  spikeBits: number;
  sameC: number | null;
  sameSince: number;
  sameCount: number;
}

export type Screened = 'good' | 'jump' | 'spike' | 'stuck';

export function newScreen(): Screen {
  return {
    goodAt: null,
    goodC: 0,
    doubted: 0,
    doubtedC: 0,
    spikeBits: 0,
    sameC: null,
    sameSince: 0,
    sameCount: 0,
  };
}

/**
 * Judges one converted reading. `good` goes to the track; `jump` goes there too, but the track begins anew; `spike` and
 * `stuck` do not. `cooling`: the kiln is closed, so that nothing ripples.
 */
export function screenReading(screen: Screen, at: number, tempC: number, cooling: boolean): Screened {
  if (screen.sameC === tempC) {
    screen.sameCount += 1;
  } else {
    screen.sameC = tempC;
    screen.sameSince = at;
    screen.sameCount = 1;
  }
  if (isStuck(screen, at, cooling)) {
    screen.goodAt = null;
    return 'stuck';
  }

  const sinceMs = screen.goodAt === null ? Number.POSITIVE_INFINITY : at - screen.goodAt;
  const allowedC = SPIKE_C + (SPIKE_C_PER_S * Math.max(sinceMs, 0)) / 1000;
  screen.spikeBits <<= 1;
  if (sinceMs > FORGET_MS || Math.abs(tempC - screen.goodC) <= allowedC) {
    const anew = sinceMs > FORGET_MS && screen.goodAt !== null && Math.abs(tempC - screen.goodC) > allowedC;
    believe(screen, at, tempC);
    return anew ? 'jump' : 'good';
  }
  screen.doubted =
    screen.doubted > 0 && Math.abs(tempC - screen.doubtedC) <= JUMP_AGREE_C ? screen.doubted + 1 : 1;
  screen.doubtedC = tempC;
  if (screen.doubted >= JUMP_READINGS) {
    believe(screen, at, tempC);
    return 'jump';
  }
  screen.spikeBits |= 1;
  return 'spike';
}

function believe(screen: Screen, at: number, tempC: number): void {
  screen.goodAt = at;
  screen.goodC = tempC;
  screen.doubted = 0;
}

function isStuck(screen: Screen, at: number, cooling: boolean): boolean {
  const longest = cooling ? FROZEN_COOLING_MS : FROZEN_MS;
  return (
    screen.sameC !== null &&
    screen.sameC > FROZEN_ABOVE_C &&
    screen.sameCount >= FROZEN_READINGS &&
    at - screen.sameSince >= longest
  );
}

/** Whether the probe jumps about so often that its couple is likely loose. */
export function isLoose(screen: Screen): boolean {
  let bits = screen.spikeBits & (2 ** SPIKE_WINDOW - 1);
  let count = 0;
  while (bits !== 0) {
    bits &= bits - 1;
    count += 1;
  }
  return count >= SPIKES_LOOSE;
}
