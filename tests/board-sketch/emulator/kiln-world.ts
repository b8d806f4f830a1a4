/**
 * What a chip in a wood kiln sees: a slow climb, a sawtooth of stokes, noise, and a box that warms up. Invented figures;
 * the same for the same seed and time.
 */
import type { ChipWorld } from './chip.ts';

export interface KilnWorldOptions {
  seed: number;
  /** Codes in a °C, of the couple and of the cold junction. */
  steps: number;
  coldJunctionSteps: number;
  /** Standard deviation of the noise, roughly, °C. */
  noiseC?: number;
}

const STOKE_EVERY_MS = 420_000;
const HOUR_MS = 3_600_000;

/** From -1 up to 1, of nothing but its two whole numbers: MurmurHash3's end (A. Appleby, public domain; from memory). */
function scatter(seed: number, n: number): number {
  let bits = Math.imul(n, 0x9e37_79b1) ^ Math.imul(seed, 0x85eb_ca6b);
  bits = Math.imul(bits ^ (bits >>> 16), 0x85eb_ca6b);
  bits = Math.imul(bits ^ (bits >>> 13), 0xc2b2_ae35);
  return ((bits ^ (bits >>> 16)) >>> 0) / 2 ** 31 - 1;
}

export function kilnWorld({ seed, steps, coldJunctionSteps, noiseC = 0.12 }: KilnWorldOptions): ChipWorld {
  return {
    couple: (ms) => {
      const climbC = 1240 * (1 - Math.exp(-ms / (9 * HOUR_MS)));
      const sinceStoke = (ms % STOKE_EVERY_MS) / STOKE_EVERY_MS;
      const stokeC = 14 * Math.sin(Math.PI * Math.sqrt(sinceStoke));
      const n = Math.floor(ms / 10);
      const noise = noiseC * 1.2 * (scatter(seed, n) + scatter(seed + 77, n));
      return Math.round((20 + climbC + stokeC + noise) * steps);
    },
    coldJunction: (ms) => {
      const boxC = 18 + 20 * (1 - Math.exp(-ms / (2 * HOUR_MS)));
      return Math.round((boxC + 0.03 * scatter(seed + 5, Math.floor(ms / 10))) * coldJunctionSteps);
    },
  };
}
