/** What is wrong with a probe, in words, with what to look at. */
import type { NoTemperature } from './couple/convert.ts';

export const FAULT_WORDS: Record<Exclude<NoTemperature, 'too-cold'> | 'stuck' | 'loose', string> = {
  open: 'the circuit is open. Look at the wires, the plug and the couple.',
  short: 'the couple touches ground or supply. Look at the sheath and the wires.',
  range: "the value is outside the couple's range. Look at the couple type, the polarity and the wires.",
  'no-cold-junction': 'the board gives no cold-junction temperature, so its value says nothing.',
  'not-measured': 'the board sends no value for it.',
  stuck:
    'the very same reading for minutes with no stoke ripple. The read-out may have frozen: look at the board.',
  loose: 'the reading jumps about. Look at the screws and the plug.',
};

export const TOO_COLD_FOR_B = 'too cold for type B to read';

/** Type K in salt and reduction drifts low, for good: common practice, no source. */
export const K_MAY_READ_LOW = 'may read low; check by cone';
export const K_MAY_READ_LOW_FROM_C = 1150;
