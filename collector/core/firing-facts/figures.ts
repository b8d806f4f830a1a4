/** The figures of a firing by name, one number each: what tables sort by and comparisons and ranks go by. */
import type { FiringFacts } from '../../../protocol/firing-facts.ts';

export const FIGURES = [
  'toSaltingMs',
  'burntMs',
  'topC',
  'topCone',
  'coneSpread',
  'woodKg',
  'woodToSaltingKg',
  'stokes',
  'saltKg',
  'saltedMs',
  'stalls',
  'stallMs',
  'tooFastMs',
  'coolingMs',
  'pieces',
] as const;
export type FigureName = (typeof FIGURES)[number];

/** Null where it is not known; nothing logged is not known, and not none. */
export function figureOf(facts: FiringFacts, name: FigureName): number | null {
  switch (name) {
    case 'toSaltingMs':
      return between(facts.litAt, facts.saltingHeatAt);
    case 'burntMs':
      return between(facts.litAt, facts.closedAt);
    case 'topCone':
      return meanCone(facts);
    case 'coneSpread':
      return coneSpread(facts);
    case 'woodToSaltingKg':
      return woodToSalting(facts);
    case 'stokes':
      return facts.stokes === 0 ? null : facts.stokes;
    case 'saltKg':
      return facts.charges === 0 ? null : facts.saltKg;
    case 'saltedMs':
      return between(facts.saltFrom, facts.saltTo);
    case 'stalls':
    case 'stallMs':
    case 'tooFastMs':
      return facts.topC === null ? null : facts[name];
    case 'coolingMs':
      return between(facts.closedAt, facts.cooledAt);
    default:
      return facts[name];
  }
}

function between(from: number | null, to: number | null): number | null {
  return from === null || to === null ? null : to - from;
}

/** Of the places that were heard to the end. */
const conesOf = ({ places }: FiringFacts) => places.flatMap(({ cone, lost }) => (lost ? [] : (cone ?? [])));

/** On the scale of `parseCone`. */
function meanCone(facts: FiringFacts): number | null {
  const cones = conesOf(facts);
  return cones.length === 0 ? null : cones.reduce((sum, cone) => sum + cone, 0) / cones.length;
}

/** In cones, from the place that was fired least to the one that was fired most. From 01 to 1 is one step. */
function coneSpread(facts: FiringFacts): number | null {
  const steps = conesOf(facts).map((cone) => (cone < 0 ? cone + 1 : cone));
  return steps.length < 2 ? null : Math.max(...steps) - Math.min(...steps);
}

function woodToSalting({ litAt, saltingHeatAt, wayUp }: FiringFacts): number | null {
  if (litAt === null || saltingHeatAt === null) return null;
  const row = wayUp.afterMs.findLastIndex((afterMs) => afterMs <= saltingHeatAt - litAt);
  return wayUp.woodKg[row] ?? null;
}
