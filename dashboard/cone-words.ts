/** A probe's cone in words, and by how much a cone that was seen has moved it. */
import type { ProbeNow } from './firing.ts';
import { sayDecimal } from './say.ts';
import { SAY } from './words.ts';

const MINUS = '\u2212';

/** `cone 8.4`, `cone 8.4, +0.4 by the cone seen`; empty before the first cone. */
export function coneWords({ cone, coneShift }: Pick<ProbeNow, 'cone' | 'coneShift'>): string {
  if (cone === null) return '';
  const tenths = Math.round((coneShift ?? 0) * 10);
  if (tenths === 0) return SAY.coneOf(cone);
  const by = `${tenths < 0 ? MINUS : '+'}${sayDecimal(Math.abs(tenths) / 10, 1)}`;
  return `${SAY.coneOf(cone)}, ${SAY.coneShifted(by)}`;
}
