/** Whether so much salt is in, and which draw rings are due by it. The one place where weights that were summed charge by charge are compared. */

/** Grams summed up as kilograms miss their sum by some 1e-15. */
const SLACK_KG = 1e-9;

/** Whether `inKg` has come up to `wantedKg`. */
export function isSaltIn(inKg: number, wantedKg: number): boolean {
  return inKg >= wantedKg - SLACK_KG;
}

/** A draw ring is due when these parts of the salt are in. */
const DRAW_PARTS = [0.25, 0.5, 0.75, 1] as const;

/**
 * How many draw rings are due by the salt that is in, of how many, and at how much salt the one after those that were
 * `pulled` is, kg; null after the last.
 */
export function drawsDue(
  inKg: number,
  saltKg: number,
  pulled: number,
): { due: number; of: number; nextAtKg: number | null } {
  const of = DRAW_PARTS.length;
  if (saltKg <= 0) return { due: 0, of, nextAtKg: null };
  const due = DRAW_PARTS.filter((part) => isSaltIn(inKg, part * saltKg)).length;
  const next = DRAW_PARTS[Math.max(due, pulled)];
  return { due, of, nextAtKg: next === undefined ? null : next * saltKg };
}
