/** Each stoke as the read-out shows it: how far it dips, how long it then rises, and how long until the next. */
import type { TrueFiring } from './true-firing.ts';

export interface SeenStoke {
  atS: number;
  everyMin: number;
  dipC: number;
  riseMin: number;
  /** What it loses from its peak to the next stoke. */
  turnC: number;
}

/** The dip comes within this of a stoke. */
const DIPS_WITHIN_S = 180;

/** Stokes between two times, seen in a noise-free read-out, one value a second. */
export function seenStokes(
  firing: TrueFiring,
  readC: readonly number[],
  fromS: number,
  toS: number,
): SeenStoke[] {
  const times = firing.deeds.filter(({ deed }) => deed.log === 'stoke').map(({ atS }) => atS);
  return times.flatMap((atS, i) => {
    const nextS = times[i + 1];
    if (nextS === undefined || atS < fromS || nextS > toS) return [];
    const beforeC = readC[atS - 1] ?? Number.NaN;
    const after = readC.slice(atS, nextS);
    const lowS = indexOfLeast(after.slice(0, DIPS_WITHIN_S));
    const rising = after.slice(lowS);
    const highS = indexOfLeast(rising.map((tempC) => -tempC));
    const highC = rising[highS] ?? Number.NaN;
    return {
      atS,
      everyMin: (nextS - atS) / 60,
      dipC: beforeC - (after[lowS] ?? Number.NaN),
      riseMin: highS / 60,
      turnC: highC - (after.at(-1) ?? Number.NaN),
    };
  });
}

function indexOfLeast(values: readonly number[]): number {
  return values.reduce(
    (least, value, i) => (value < (values[least] ?? Number.POSITIVE_INFINITY) ? i : least),
    0,
  );
}

export function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[values.length >> 1] ?? Number.NaN;
}
