/** What is wrong with a probe, in words, with what to look at. */
import type { NoTemperature } from './couple/convert.ts';

export const FAULT_WORDS: Record<Exclude<NoTemperature, 'too-cold'> | 'stuck' | 'loose', string> = {
  open: 'its circuit is open. Look at the wires, the plug and the couple.',
  short: 'it touches something it must not. Look at the wires and the sheath.',
  range: 'it shows what its couple cannot. The type may be wrong, or its two wires the wrong way round.',
  'no-cold-junction':
    'the board does not give its own temperature, so this probe cannot be read. Look at the board.',
  'not-measured': 'the board sends nothing for it. Look at its plug and at the board.',
  stuck:
    'the very same reading for minutes, with no stoke to be seen in it. It may have frozen: look at the board.',
  loose: 'it jumps about, or comes and goes. Look at the screws and the plug.',
};

export const TOO_COLD_FOR_B = 'too cold for type B to read';

/** Type K in salt and reduction drifts low, for good: common practice, no source. */
export const K_MAY_READ_LOW = 'may read low; check by cone';
export const K_MAY_READ_LOW_FROM_C = 1150;
