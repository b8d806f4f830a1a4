/** What stood at each place of the kiln and what came out of it, as the sheet lists it. Pure. */
import type { Plan } from '../../protocol/plan.ts';
import { type ResultRow, type Yield, yieldOf } from '../../protocol/results.ts';

export interface PlaceFacts {
  place: string;
  /** Pieces that went in, as the plan has them; null where it says nothing of this place. */
  loaded: number | null;
  yields: Yield;
  /** Faults, colours and notes, each once. */
  remarks: string[];
}

/** Places with ware or results, in the plan's order, then others as they come. */
export function placeFacts(plan: Plan, rows: readonly ResultRow[]): PlaceFacts[] {
  const named = [...plan.places, ...plan.load.map(({ place }) => place), ...rows.map(({ place }) => place)];
  return [...new Set(named)]
    .map((place) => {
      const own = rows.filter((row) => row.place === place);
      const load = plan.load.filter((ware) => ware.place === place);
      return {
        place,
        loaded: load.length === 0 ? null : load.reduce((sum, { pieces }) => sum + pieces, 0),
        yields: yieldOf(own),
        remarks: remarksOf(own),
      };
    })
    .filter(({ loaded, yields }) => loaded !== null || yields.counted > 0);
}

function remarksOf(rows: readonly ResultRow[]): string[] {
  const said = rows.flatMap(({ faults, colour, notes }) => [...faults, colour, notes]);
  return [...new Set(said.map((words) => words.trim()).filter((words) => words !== ''))];
}

/** The sums of all places. */
export function allPlaces(places: readonly PlaceFacts[]): Omit<PlaceFacts, 'place' | 'remarks'> {
  const loads = places.flatMap(({ loaded }) => (loaded === null ? [] : [loaded]));
  return {
    loaded: loads.length === 0 ? null : loads.reduce((sum, pieces) => sum + pieces, 0),
    yields: yieldOf(places.map(({ yields }) => yields)),
  };
}
