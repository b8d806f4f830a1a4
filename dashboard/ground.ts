/** Where probes stand on the ground plan, seen from above: nine places, 0 back left … 8 front right. */

/** How many places there are. */
export const PLACE_COUNT = 9;

/** Words that say where something stands, in the languages of the page. */
const BACK = /back|rear|flue|chimney|stack|hinten|fuchs|kamin|schornstein/;
const FRONT = /front|door|fire|mouth|vorn|tür|feuer|schür/;

/** A first guess from the probe's name; the potter puts it right. */
export function guessPlace(name: string): number {
  const row = BACK.test(name) ? 0 : FRONT.test(name) ? 2 : 1;
  const column = /left|links/.test(name) ? 0 : /right|rechts/.test(name) ? 2 : 1;
  return 3 * row + column;
}

/** The probes at each of the nine places; more than one may stand at a place (top and bottom of the same stack). */
export function placed<P extends { name: string }>(
  probes: readonly P[],
  chosen: Readonly<Record<string, number>>,
): P[][] {
  const grid: P[][] = Array.from({ length: PLACE_COUNT }, () => []);
  for (const probe of probes) grid[chosen[probe.name] ?? guessPlace(probe.name)]?.push(probe);
  return grid;
}
