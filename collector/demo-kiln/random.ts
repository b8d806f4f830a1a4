/**
 * A small seeded source of random numbers, so that an invented firing is the same to the last digit every time.
 * The generator is Marsaglia's xorshift32 (Journal of Statistical Software 8, 2003: shifts 13, 17, 5).
 */

export interface Random {
  /** 32-bit state, never 0. */
  word: number;
}

/** A stream of its own for each `purpose`, so that drawing more noise does not move the next stoke. */
export function openRandom(seed: number, purpose: string): Random {
  let word = (seed ^ 0x9e3779b9) >>> 0;
  for (let i = 0; i < purpose.length; i++) word = Math.imul(word ^ purpose.charCodeAt(i), 0x01000193) >>> 0;
  const random = { word: word === 0 ? 1 : word };
  for (let i = 0; i < 16; i++) nextWord(random);
  return random;
}

function nextWord(random: Random): number {
  let word = random.word;
  word ^= word << 13;
  word ^= word >>> 17;
  word ^= word << 5;
  random.word = word >>> 0;
  return random.word;
}

/** Evenly spread over 0 (included) to 1 (not included). */
export function uniform(random: Random): number {
  return (nextWord(random) - 1) / 0xffffffff;
}

/** Mean 0, standard deviation 1, within ±6: twelve even draws summed, which any engine adds up alike. */
export function bell(random: Random): number {
  let sum = -6;
  for (let i = 0; i < 12; i++) sum += uniform(random);
  return sum;
}

/** Eight lower-digit hexadecimal figures in upper case, as a boot id has them. */
export function hexWord(random: Random): string {
  return nextWord(random).toString(16).toUpperCase().padStart(8, '0');
}
