/** Whether the kiln is hot enough for salt. */
import { parseCone } from '../protocol/cones.ts';
import type { KilnView } from './view.ts';

/** The window closes this far below its start. */
export const WINDOW_BELOW_C = 22;

/**
 * The plan gives a heat, a cone, or both: all that it gives must be reached. A cone that the chart does not have is none,
 * and a plan that gives neither has no start.
 */
export function hotEnough({ plan, kiln }: Pick<KilnView, 'plan' | 'kiln'>): boolean {
  const { saltingStartC, saltingStartCone } = plan;
  const { smoothC, coneValue } = kiln;
  const cone = saltingStartCone === null ? null : parseCone(saltingStartCone);
  if (saltingStartC === null && cone === null) return false;
  if (saltingStartC !== null && (smoothC === null || smoothC < saltingStartC)) return false;
  return cone === null || (coneValue !== null && coneValue >= cone);
}
