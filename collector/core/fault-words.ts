/** What is wrong with a probe, in words: what is so first, then what to look at. */
import { differenceInWords, spanInWords } from '../../alerts/words.ts';
import { MINUTE_MS } from '../../protocol/units.ts';
import type { NoTemperature } from './couple/convert.ts';
import type { ToldDrift } from './drift.ts';

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

/** To the quarter of an hour: `2 h 15 min`. */
function spanOf({ since }: ToldDrift, at: number): string {
  const quarterMs = 15 * MINUTE_MS;
  return spanInWords(Math.round((at - since) / quarterMs) * quarterMs);
}

/** A probe that is known to drift, as of `at`, epoch ms. */
export function driftWords(told: ToldDrift, at: number): string {
  const way = told.slideC < 0 ? 'down' : 'up';
  const apart = differenceInWords(Math.abs(told.slideC));
  return `it has slid ${way} from the others by ${apart} in ${spanOf(told, at)}. It does not count for the kiln while another probe works: check by cone, then pull it, or log it as put back if it is right.`;
}

/** A probe that may drift, as of `at`; `other`: its only neighbour, which may as well be wrong. */
export function partedWords(told: ToldDrift, other: string | null, at: number): string {
  const apart = differenceInWords(Math.abs(told.slideC));
  const span = spanOf(told, at);
  return other === null
    ? `it has parted from the others by ${apart} in ${span}, more than places in a kiln do. It may read wrong: check by cone, and pull it if it does.`
    : `it and ${other} have parted by ${apart} in ${span}, more than places in a kiln do. One of the two may read wrong: check both by cone, and pull that one.`;
}

/** A probe that stepped by `byC`, °C, and stayed there. */
export function jumpWords(byC: number): string {
  const way = byC < 0 ? 'down' : 'up';
  return `it jumped ${way} by ${differenceInWords(Math.abs(byC))} at once, and stayed. Was it moved, or the board struck? Check by cone.`;
}

export const TOO_COLD_FOR_B = 'too cold for type B to read';

/** Type K in salt and reduction drifts low, for good: common practice, no source. */
export const K_MAY_READ_LOW = 'may read low; check by cone';
export const K_MAY_READ_LOW_FROM_C = 1150;
