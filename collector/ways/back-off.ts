/** How long to wait before trying again: twice as long each time, with jitter, so that many do not come back at once. */

const FIRST_MS = 1000;
const LONGEST_MS = 60_000;
/** Tries in all; the last is some two minutes after the first. Our own choice. */
export const MOST_TRIES = 8;

/** After the try number `tries` (1 and up) has failed. `random` is from 0 up to 1. */
export function backOffMs(tries: number, random: number): number {
  const whole = Math.min(LONGEST_MS, FIRST_MS * 2 ** (tries - 1));
  return whole / 2 + (whole / 2) * random;
}
