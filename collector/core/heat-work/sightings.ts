/**
 * Cones that the potter saw bend or lie, against the heat work that was computed for their place. A cone knows better:
 * from then on the heat work of the place is taken as if it were hotter or cooler by so much, in 1/T, that the cone's own W
 * is what it showed.
 */
import { CONE_NAMES, parseCone } from '../../../protocol/cones.ts';
import { coneValue, type HeatWork, shiftFor } from './heat-work.ts';

/**
 * Heat work of a cone that is said to bend: half-way down, about ten minutes before it lies at 60 °C/h. By the rate
 * equations W is 0.65 to 0.7 then for cones 5 to 10. Our own choice, no source.
 */
const BENDING_WORK = 0.7;
/** What moves the reading by more cones than this was another cone, or another place: it shifts nothing. Our own choice. */
const MOST_CONES = 4;

export interface Sighting {
  /** Id of its log entry, by which it is undone. */
  id: string | null;
  /** When it was seen, epoch ms. */
  at: number;
  what: 'bending' | 'down';
  /** What must be added to ln W as computed for then, for each kelvin of Q/R. */
  missingPerK: number;
}

/**
 * A cone seen at a place whose computed heat work was `heat` then. Null where it is no cone of the chart, or so far from
 * what was computed that something else must be wrong.
 */
export function sighting(
  { id, at, what, cone }: { id: string | null; at: number; what: Sighting['what']; cone: string },
  heat: HeatWork,
): Sighting | null {
  const value = parseCone(cone);
  const place = CONE_NAMES.findIndex((name) => parseCone(name) === value);
  const computed = coneValue(heat);
  if (value === null || place < 0 || computed === null) return null;
  if (Math.abs(conesBetween(computed, value)) > MOST_CONES) return null;
  const missingPerK = shiftFor(heat, place, what === 'down' ? 1 : BENDING_WORK);
  return missingPerK === null ? null : { id, at, what, missingPerK };
}

/**
 * What the sightings add to ln W, for each kelvin of Q/R, each in its turn as it happened. A cone that bends says how it stands, both ways. One
 * that lies may have lain for a while: it only adds where the computed one would still stand. `saltedAt`: when salting
 * began, or null; cones seen from then on say nothing, for salt fluxes them.
 */
export function shiftBy(sightings: readonly Sighting[], saltedAt: number | null): number {
  let shift = 0;
  for (const { at, what, missingPerK } of [...sightings].sort((a, b) => a.at - b.at)) {
    if (saltedAt !== null && at >= saltedAt) continue;
    shift = what === 'bending' ? missingPerK : Math.max(shift, missingPerK);
  }
  return shift;
}

/** From one value of the scale of `parseCone` to another, in cones: from 01 to 1 is one. */
export function conesBetween(from: number, to: number): number {
  const rung = (value: number) => (value >= 1 ? value - 1 : value);
  return rung(to) - rung(from);
}
