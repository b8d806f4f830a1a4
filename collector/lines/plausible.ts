/**
 * Readings that came through the CRC and still cannot be believed at once. A CRC of 16 bits lets about one in 65,536 of
 * badly damaged lines pass; what is damaged then is mostly a digit. Such a line is taken for lost and asked for again:
 * if the board says the very same once more, it was true. A board that is odd by itself is not held up by this: after a
 * few doubts in ten minutes it is taken at its word. Jumps of a temperature are the screen's affair, not this one's.
 */
import type { ProbeSpec, RawValue } from '../../protocol/probes.ts';
import { MINUTE_MS } from '../../protocol/units.ts';
import type { Arrived, Judged } from './arrived.ts';
import type { Boot } from './boot.ts';

export interface Doubts {
  /** The newest doubtful lines, and when each came; epoch ms. */
  lines: { text: string; at: number }[];
}

export function newDoubts(): Doubts {
  return { lines: [] };
}

const MOST_DOUBTS = 3;
const DOUBTS_WITHIN_MS = 10 * MINUTE_MS;
/** No logger board works outside of these: common practice for chips and their sensors, no source. */
const COLD_JUNCTION_C = { least: -55, most: 150 };
/** A board does not warm or cool faster than this from one reading to the next, within a minute. Our own choice. */
const COLD_JUNCTION_STEP_C = 20;
const STEP_WITHIN_MS = MINUTE_MS;
/** EMF of any couple over its whole range: type E reaches 76.4 mV at 1000 °C, type N falls to -4.3 mV, E to -9.8 (IEC 60584-1). */
const EMF_UV = { least: -10_000, most: 80_000 };
/** Type B ends at 1820 °C, and no couple reads below absolute zero (IEC 60584-1). */
const DEG_C = { least: -273.15, most: 1900 };
/** From one reading to the very next the uptime moves on as it did before, give or take so much of a period. */
const UPTIME_STEP_OFF = 0.5;

/**
 * Whether the reading is to be asked for again. Takes note of it; the same line a second time is believed, and so is
 * anything from a board that has been doubted often, or from one that cannot say it again and may be right.
 */
export function isDoubtful(doubts: Doubts, boot: Boot, reading: Arrived, judged: Judged): boolean {
  const impossible = cannotBe(boot.hello.probes, reading);
  const again = boot.hello.keeps > 0;
  if (!impossible && !(again && isUnlikely(boot, reading, judged))) return false;
  const { text, at } = reading;
  if (doubts.lines.some((line) => line.text === text)) return false;
  doubts.lines = doubts.lines.filter((line) => at - line.at < DOUBTS_WITHIN_MS);
  if (doubts.lines.length >= MOST_DOUBTS) return false;
  doubts.lines.push({ text, at });
  return true;
}

function cannotBe(probes: readonly ProbeSpec[], { coldJunctionC, values }: Arrived): boolean {
  if (coldJunctionC !== null && isOutside(coldJunctionC, COLD_JUNCTION_C)) return true;
  return probes.some(({ form }, i) => isOut(values[i] ?? null, form.kind === 'uv' ? EMF_UV : DEG_C));
}

function isOut(value: RawValue, range: { least: number; most: number }): boolean {
  return typeof value === 'number' && isOutside(value, range);
}

function isOutside(value: number, { least, most }: { least: number; most: number }): boolean {
  return value < least || value > most;
}

function isUnlikely(boot: Boot, { coldJunctionC }: Arrived, { verdict, seq, uptimeMs }: Judged): boolean {
  const { newest, pace, coldJunction } = boot;
  if (verdict !== 'live' || newest === null) return false;
  if (coldJunction !== null && coldJunctionC !== null && uptimeMs - coldJunction.uptimeMs < STEP_WITHIN_MS)
    if (Math.abs(coldJunctionC - coldJunction.tempC) > COLD_JUNCTION_STEP_C) return true;
  const [before, last] = pace.recent.slice(-2);
  if (before === undefined || last === undefined || last.seq !== newest.seq || seq !== last.seq + 1)
    return false;
  const stepMs = (last.uptimeMs - before.uptimeMs) / (last.seq - before.seq);
  return Math.abs(uptimeMs - last.uptimeMs - stepMs) > UPTIME_STEP_OFF * stepMs;
}
