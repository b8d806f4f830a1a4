/** What was true in a firing, for the probes that worked: climb, stalls, and when salting heat was crossed. */
import { ZONES, type Zone } from '../../collector/demo-kiln/chamber.ts';
import type { ProbeMishap } from '../../collector/demo-kiln/probes.ts';
import type { Stage } from '../../protocol/stages.ts';
import { trueClimbs } from '../demo-kiln/true-firing.ts';
import { crossingIn, type Stretch, stallsIn } from './rules.ts';
import type { Run } from './run.ts';

export interface Truth {
  minutes: { stage: Stage; meanC: number; climbCPerH: number }[];
  stalls: Stretch[];
  /** Minutes since the start, or null. */
  crossingAt: number | null;
}

/** From when on, and until when, a probe says nothing of the kiln: minutes since the start. */
function lostBy({ what, minutes }: ProbeMishap, sinceMin: number): Stretch | null {
  switch (what) {
    case 'sticks':
      return { from: sinceMin, to: sinceMin + minutes };
    case 'drifts':
      return { from: sinceMin, to: Number.POSITIVE_INFINITY };
    case 'opens':
      return { from: sinceMin + minutes, to: Number.POSITIVE_INFINITY };
    case 'spikes':
    case 'loose':
      return null;
  }
}

/**
 * Mean and climb are those of the places of the probes that work at that minute: smoothing is linear, so each place is
 * smoothed by itself, and a probe that fails makes no step. Where none works, all places with a probe are taken.
 */
export function truthOf({ recipe, trueMinutes, mishapsS }: Run): Truth {
  const { probes, mishaps = [] } = recipe.board;
  const lost = mishaps.flatMap((mishap, i) => {
    const sinceS = mishapsS[i] ?? null;
    const stretch = sinceS === null ? null : lostBy(mishap, sinceS / 60);
    return stretch ? [{ probe: mishap.probe, ...stretch }] : [];
  });
  const climbs = new Map<Zone, number[]>(
    ZONES.map((zone) => [zone, trueClimbs(trueMinutes.map(({ placeC }) => placeC[zone]))]),
  );
  const minutes = trueMinutes.map(({ placeC, stage }, minute) => {
    const sound = probes.filter(
      ({ spec }) =>
        !lost.some(({ probe, from, to }) => probe === spec.name && minute >= from && minute <= to),
    );
    const zones = (sound.length > 0 ? sound : probes).map(({ zone }) => zone);
    const mean = (of: (zone: Zone) => number) =>
      zones.reduce((sum, zone) => sum + of(zone), 0) / zones.length;
    return {
      stage,
      meanC: mean((zone) => placeC[zone]),
      climbCPerH: mean((zone) => climbs.get(zone)?.[minute] ?? Number.NaN),
    };
  });
  const crossing = crossingIn(minutes, recipe.saltingStartC);
  return {
    minutes,
    stalls: stallsIn(minutes),
    // The middle of its minute.
    crossingAt: crossing === null ? null : crossing + 0.5,
  };
}
