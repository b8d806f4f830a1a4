/** The rhythm of the stoking by hole: how often each is stoked, and when it was last. Pure: the page counts with it. */
import { medianInterval } from './median-interval.ts';
import type { Hole } from './stoking.ts';

/** The usual interval is that of so many of the last stokes. */
const LAST_STOKES = 7;

export interface HoleRhythm {
  lastAt: number | null;
  /** The middle of the last intervals; null with fewer than three. */
  everyMs: number | null;
}

/** The rhythm of each hole by its own stokes, in any order, epoch ms. */
export function rhythmByHole(stokes: readonly { at: number; hole: Hole }[]): Record<Hole, HoleRhythm> {
  const of = (hole: Hole): HoleRhythm => {
    const times = stokes.flatMap((stoke) => (stoke.hole === hole ? [stoke.at] : [])).sort((a, b) => a - b);
    return { lastAt: times.at(-1) ?? null, everyMs: medianInterval(times.slice(-LAST_STOKES)) };
  };
  return { left: of('left'), right: of('right') };
}
