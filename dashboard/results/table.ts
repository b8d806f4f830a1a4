/** What came out, as the page's form holds it. Pure. */
import type { Plan } from '../../protocol/plan.ts';
import { type ResultRow, resultKey } from '../../protocol/results.ts';
import { guessPlace, PLACE_COUNT } from '../ground.ts';

/** The rows that were kept, and an empty one for each kind of ware in the load that has none yet. */
export function prefilled(kept: readonly ResultRow[], load: Plan['load']): ResultRow[] {
  const known = new Set(kept.map(resultKey));
  const fresh = new Map<string, ResultRow>();
  for (const { place, shape, clay, pieces } of load) {
    const key = resultKey({ place, shape, clay });
    if (known.has(key) || pieces === 0) continue;
    const before = fresh.get(key);
    fresh.set(key, { ...emptyRow(place, shape, clay), loaded: (before?.loaded ?? 0) + pieces });
  }
  return [...kept, ...fresh.values()];
}

export function emptyRow(place: string, shape: string, clay: string): ResultRow {
  return {
    place,
    shape,
    clay,
    loaded: null,
    good: 0,
    seconds: 0,
    lost: 0,
    faults: [],
    blush: null,
    colour: '',
    notes: '',
    photos: [],
  };
}

/**
 * Two tables that both came of `base`: a row that was changed here is taken from here, every other as it stands there.
 */
export function mergedRows(
  base: readonly ResultRow[],
  mine: readonly ResultRow[],
  theirs: readonly ResultRow[],
): ResultRow[] {
  const before = byKey(base);
  const here = byKey(mine);
  const changedHere = (key: string) => JSON.stringify(here.get(key)) !== JSON.stringify(before.get(key));
  const there = byKey(theirs);
  const merged = theirs.map((row) => {
    const key = resultKey(row);
    const own = here.get(key);
    return own && changedHere(key) ? own : row;
  });
  return [...merged, ...mine.filter((row) => !there.has(resultKey(row)) && changedHere(resultKey(row)))];
}

const byKey = (rows: readonly ResultRow[]) => new Map(rows.map((row) => [resultKey(row), row]));

/** Pieces that nobody has looked at yet; null where it is not known how many there were. */
export function leftOver({ loaded, good, seconds, lost }: ResultRow): number | null {
  return loaded === null ? null : Math.max(0, loaded - good - seconds - lost);
}

/** File names as they are typed, without their folders, parted by commas, semicolons or line ends. */
export function photoNames(text: string): string[] {
  const names = text.split(/[,;\n]/).map((name) => name.replace(/^.*[/\\]/, '').trim());
  return names.filter((name) => name !== '');
}

const SAYS_WHERE =
  /back|rear|flue|chimney|stack|front|door|fire|mouth|left|right|middle|centre|center|hinten|fuchs|kamin|schornstein|vorn|tür|feuer|schür|links|rechts|mitte/i;

/** Places by where their name says they stand: nine fields of the ground plan, and those whose name says nothing. */
export function placesOnGround(places: readonly string[]): { grid: string[][]; elsewhere: string[] } {
  const grid: string[][] = Array.from({ length: PLACE_COUNT }, () => []);
  const elsewhere: string[] = [];
  for (const place of places)
    if (SAYS_WHERE.test(place)) grid[guessPlace(place.toLowerCase())]?.push(place);
    else elsewhere.push(place);
  return { grid, elsewhere };
}
