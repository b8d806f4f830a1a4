/** What stands where: counts of pieces by place, shape and clay. Pure. */
import type { Plan } from '../../protocol/plan.ts';

type Ware = Plan['load'][number];
export type Kind = Pick<Ware, 'shape' | 'clay'>;

const same = (a: Kind, b: Kind) => a.shape === b.shape && a.clay === b.clay;

/** Kinds of ware in the load, in the order in which they were first set down. */
export function kindsOf(load: readonly Ware[]): Kind[] {
  const kinds: Kind[] = [];
  for (const { shape, clay } of load) {
    if (!kinds.some((kind) => same(kind, { shape, clay }))) kinds.push({ shape, clay });
  }
  return kinds;
}

/** Pieces at a place, of one kind or of all. */
export function piecesAt(load: readonly Ware[], place: string | null, kind: Kind | null = null): number {
  let sum = 0;
  for (const ware of load) {
    if ((place === null || ware.place === place) && (kind === null || same(kind, ware))) sum += ware.pieces;
  }
  return sum;
}

/** With so many more (or fewer) pieces of a kind at a place, never below none; a kind stays known at none. */
export function withPieces(load: readonly Ware[], place: string, kind: Kind, more: number): Ware[] {
  const at = load.findIndex((ware) => ware.place === place && same(kind, ware));
  const known = load[at];
  if (!known) return [...load, { place, ...kind, pieces: Math.max(0, more) }];
  return load.map((ware, index) =>
    index === at ? { ...ware, pieces: Math.max(0, ware.pieces + more) } : ware,
  );
}

/** Draw rings at a place. */
export function ringsAt(rings: Plan['drawRings'], place: string): number {
  return rings.find((one) => one.place === place)?.rings ?? 0;
}

export function withRings(rings: Plan['drawRings'], place: string, more: number): Plan['drawRings'] {
  const count = Math.max(0, ringsAt(rings, place) + more);
  const others = rings.filter((one) => one.place !== place);
  return count === 0 ? others : [...others, { place, rings: count }];
}

/** A place under another name, everywhere in the plan. */
export function withPlaceRenamed(plan: Plan, from: string, to: string): Plan {
  const renamed = <One extends { place: string }>(one: One): One =>
    one.place === from ? { ...one, place: to } : one;
  return {
    ...plan,
    places: plan.places.map((place) => (place === from ? to : place)),
    load: plan.load.map(renamed),
    conePacks: plan.conePacks.map(renamed),
    drawRings: plan.drawRings.map(renamed),
  };
}

/** Without a place, and what stood there. */
export function withoutPlace(plan: Plan, gone: string): Plan {
  const stays = ({ place }: { place: string }) => place !== gone;
  return {
    ...plan,
    places: plan.places.filter((place) => place !== gone),
    load: plan.load.filter(stays),
    conePacks: plan.conePacks.filter(stays),
    drawRings: plan.drawRings.filter(stays),
  };
}
