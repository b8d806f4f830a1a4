/** Whether so much salt is in. The one place where weights that were summed charge by charge are compared. */

/** Grams summed up as kilograms miss their sum by some 1e-15. */
const SLACK_KG = 1e-9;

/** Whether `inKg` has come up to `wantedKg`. */
export function isSaltIn(inKg: number, wantedKg: number): boolean {
  return inKg >= wantedKg - SLACK_KG;
}
