/**
 * The board's counters are of 32 bits and roll over; seq and uptime each at its own time. Inside the desk they are
 * carried on: `near` is any value of the same counter less than 2^31 away.
 */

/** The carried-on value of a counter that reads `counter` on the line. */
export function carryOn(counter: number, near: number): number {
  return near + ((counter - near) | 0);
}

/** A carried-on value as it stands on the line. */
export function asCounter(carried: number): number {
  return carried >>> 0;
}
