/** Marks that would lie on each other, drawn as one. Pure. */

/** Marks in order of time, those within `apartPx` of the first of their crowd together. `x` gives a time's place, px. */
export function crowds<M extends { at: number }>(
  marks: readonly M[],
  x: (at: number) => number,
  apartPx: number,
): M[][] {
  const found: M[][] = [];
  for (const mark of [...marks].sort((a, b) => a.at - b.at)) {
    const crowd = found.at(-1);
    const first = crowd?.[0];
    if (crowd && first && x(mark.at) - x(first.at) < apartPx) crowd.push(mark);
    else found.push([mark]);
  }
  return found;
}
