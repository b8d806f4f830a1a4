/**
 * The screen in front of the track: single wild readings are kept out, a real jump is believed once it stays, and a
 * read-out that has frozen is told from a kiln that stands still (a kiln that is stoked always ripples). Its figures are
 * our own choice.
 */
import type { RawValue } from '../../protocol/probes.ts';
import { MINUTE_MS } from '../../protocol/units.ts';

/** A change larger than this from the last good reading, plus this rate, is not believed at once. */
const SPIKE_C = 35;
const SPIKE_C_PER_S = 0.5;
/** Beyond this long without a good reading any value is taken. */
const FORGET_MS = 5 * MINUTE_MS;
/** So many readings in a row that agree with each other are a jump that really happened. */
const JUMP_READINGS = 4;
const JUMP_AGREE_C = 20;

/** The very same value for this long and so many readings is a frozen read-out: hot and burning, or cooling. */
const FROZEN_MS = 5 * MINUTE_MS;
const FROZEN_COOLING_MS = 90 * MINUTE_MS;
const FROZEN_READINGS = 12;
/** Below this a kiln may really stand at one value of a coarse chip. */
const FROZEN_ABOVE_C = 150;
/**
 * The very same value: the chip's number stays while its cold junction moves on, or both round a little differently. A
 * microvolt of type S at 1200 °C is 0.08 °C.
 */
const SAME_C = 0.09;

/** So many bad readings among the last so many are a loose couple: close together, or again and again. */
const LOOSE = [
  { bad: 4, among: 30 },
  { bad: 6, among: 120 },
] as const;
const BAD_KEPT = 6;

export interface Screen {
  goodAt: number | null;
  goodC: number;
  /** The last readings that were not believed. */
  doubted: number;
  doubtedC: number;
  /** Readings so far, and which of them were the last bad ones: a spike, or the first of the chip's faults in a row. */
  count: number;
  bad: readonly number[];
  broken: boolean;
  /** First of the readings that have been the very same since, and how many they are. */
  sameAt: number;
  sameC: number;
  sameRaw: RawValue;
  sameCount: number;
}

/** A converted reading as the screen judges it. `cooling`: the kiln is closed, so that nothing ripples. */
export interface Sighting {
  at: number;
  tempC: number;
  raw: RawValue;
  cooling: boolean;
}

export type Screened = 'good' | 'jump' | 'spike' | 'stuck';

export function newScreen(): Screen {
  return {
    goodAt: null,
    goodC: 0,
    doubted: 0,
    doubtedC: 0,
    count: 0,
    bad: [],
    broken: false,
    sameAt: 0,
    sameC: 0,
    sameRaw: null,
    sameCount: 0,
  };
}

/**
 * Judges one converted reading. `good` goes to the track; `jump` goes there too, but the track begins anew; `spike` and
 * `stuck` do not.
 */
export function screenReading(screen: Screen, sighting: Sighting): Screened {
  const { at, tempC, raw } = sighting;
  screen.broken = false;
  if (isSame(screen, sighting)) {
    screen.sameCount += 1;
  } else {
    screen.sameAt = at;
    screen.sameC = tempC;
    screen.sameRaw = raw;
    screen.sameCount = 1;
  }
  if (isStuck(screen, sighting)) {
    screen.goodAt = null;
    return 'stuck';
  }

  const sinceMs = screen.goodAt === null ? Number.POSITIVE_INFINITY : at - screen.goodAt;
  const allowedC = SPIKE_C + (SPIKE_C_PER_S * Math.max(sinceMs, 0)) / 1000;
  screen.count += 1;
  if (sinceMs > FORGET_MS || Math.abs(tempC - screen.goodC) <= allowedC) {
    const anew = sinceMs > FORGET_MS && screen.goodAt !== null && Math.abs(tempC - screen.goodC) > allowedC;
    believe(screen, at, tempC);
    return anew ? 'jump' : 'good';
  }
  screen.doubted =
    screen.doubted > 0 && Math.abs(tempC - screen.doubtedC) <= JUMP_AGREE_C ? screen.doubted + 1 : 1;
  screen.doubtedC = tempC;
  if (screen.doubted >= JUMP_READINGS) {
    // What was doubted on the way was right: an open door is no loose couple.
    screen.bad = screen.bad.filter((reading) => reading <= screen.count - JUMP_READINGS);
    believe(screen, at, tempC);
    return 'jump';
  }
  noteBad(screen);
  return 'spike';
}

/** The list is made anew, so that a copy of the screen keeps its own. */
function noteBad(screen: Screen): void {
  screen.bad = [...screen.bad, screen.count].slice(-BAD_KEPT);
}

function believe(screen: Screen, at: number, tempC: number): void {
  screen.goodAt = at;
  screen.goodC = tempC;
  screen.doubted = 0;
}

function isSame({ sameC, sameRaw, sameCount }: Screen, { tempC, raw }: Sighting): boolean {
  return sameCount > 0 && (raw === sameRaw || Math.abs(tempC - sameC) <= SAME_C);
}

function isStuck({ sameAt, sameCount }: Screen, { at, tempC, cooling }: Sighting): boolean {
  const longest = cooling ? FROZEN_COOLING_MS : FROZEN_MS;
  return tempC > FROZEN_ABOVE_C && sameCount >= FROZEN_READINGS && at - sameAt >= longest;
}

/** Notes that the chip reported a fault instead of a number: a couple that comes and goes is loose, too. */
export function screenFault(screen: Screen): void {
  screen.count += 1;
  if (!screen.broken) noteBad(screen);
  screen.broken = true;
}

/** Whether the probe jumps about, or comes and goes, so often that its couple is likely loose. */
export function isLoose({ count, bad }: Screen): boolean {
  return LOOSE.some((loose) => count - (bad.at(-loose.bad) ?? Number.NEGATIVE_INFINITY) < loose.among);
}
