/** Two firings laid beside each other: at one heat, at one hour, and figure by figure. */
import type { FiringFacts } from '../../../protocol/firing-facts.ts';
import { FIGURES, type FigureName, figureOf } from './figures.ts';

/** What one firing had of something and the other had not: the first less the second. */
export interface Apart {
  figure: FigureName;
  one: number;
  other: number;
  by: number;
}

/** What is settled before a kiln is closed; all else goes on growing while it burns. */
const SETTLED_EARLY: ReadonlySet<FigureName> = new Set(['toSaltingMs', 'woodToSaltingKg', 'pieces']);

/** Every figure that is known of both. `burning`: one of them burns still, and only what is settled by then is told. */
export function apart(one: FiringFacts, other: FiringFacts, burning = false): Apart[] {
  return FIGURES.flatMap((figure) => {
    if (burning && !SETTLED_EARLY.has(figure)) return [];
    const [a, b] = [figureOf(one, figure), figureOf(other, figure)];
    return a === null || b === null ? [] : [{ figure, one: a, other: b, by: a - b }];
  });
}

/** How two firings stood when each was at this heat: the first less the second. */
export interface AtHeat {
  tempC: number;
  /** Above 0: the first one was there so much later after its light-up. */
  behindMs: number;
  woodKg: number | null;
  saltKg: number;
  stokes: number | null;
}

/** At the highest heat up to `tempC` that both have reached, in steps of 5 °C; null where there is none. */
export function atHeat(one: FiringFacts, other: FiringFacts, tempC: number): AtHeat | null {
  const [a, b] = [one.wayUp, other.wayUp];
  const row = a.tempC.findLastIndex((step) => step <= tempC && b.tempC.includes(step));
  const step = a.tempC[row];
  const otherRow = step === undefined ? -1 : b.tempC.indexOf(step);
  if (step === undefined || otherRow < 0) return null;
  const [wood, otherWood] = [a.woodKg[row] ?? null, b.woodKg[otherRow] ?? null];
  const logged = one.stokes > 0 && other.stokes > 0;
  return {
    tempC: step,
    behindMs: (a.afterMs[row] ?? 0) - (b.afterMs[otherRow] ?? 0),
    woodKg: wood === null || otherWood === null ? null : wood - otherWood,
    saltKg: (a.saltKg[row] ?? 0) - (b.saltKg[otherRow] ?? 0),
    stokes: logged ? (a.stokes[row] ?? 0) - (b.stokes[otherRow] ?? 0) : null,
  };
}
