/** What went together with good yields and with bad ones, over all firings whose results were counted. */
import type { FiringFacts } from '../../../protocol/firing-facts.ts';
import { FIGURES, type FigureName, figureOf } from './figures.ts';
import { holm, leastBeyondChance, orders, rankCorrelation } from './ranks.ts';

/** As is usual: one in twenty is called beyond chance though it is not. */
export const ALPHA = 0.05;
/** Below so many rows a correlation of ranks says nothing that is worth a line. */
const LEAST_ROWS = 4;

export interface Together {
  figure: FigureName;
  /** Firings of which the figure and the yield are known. */
  n: number;
  rho: number;
  p: number;
  /** Beyond chance, though so many figures were looked at: by Holm's step-down. */
  sure: boolean;
}

export interface YieldsTold {
  /** Firings with results. */
  n: number;
  /** How many figures were looked at, and what they come to: the strongest first. */
  looked: number;
  together: Together[];
  /** The smallest |rho| that is beyond chance for the strongest of so many figures over `n` firings; null: none is. */
  leastRho: number | null;
  /** With fewer firings than this not even a full agreement is beyond chance. */
  leastFirings: number;
}

/** `share`: good pieces of those counted, 0 … 1. */
export function yieldsTold(firings: readonly { facts: FiringFacts; share: number }[]): YieldsTold {
  const found = FIGURES.flatMap((figure): Omit<Together, 'sure'>[] => {
    const rows = firings.flatMap(({ facts, share }) => {
      const value = figureOf(facts, figure);
      return value === null ? [] : [{ value, share }];
    });
    const ranked =
      rows.length < LEAST_ROWS
        ? null
        : rankCorrelation(
            rows.map(({ value }) => value),
            rows.map(({ share }) => share),
          );
    return ranked ? [{ figure, n: rows.length, ...ranked }] : [];
  });
  const sure = holm(
    found.map(({ p }) => p),
    ALPHA,
  );
  const looked = found.length || FIGURES.length;
  return {
    n: firings.length,
    looked,
    together: found
      .map((each, index) => ({ ...each, sure: sure[index] ?? false }))
      .sort((a, b) => Math.abs(b.rho) - Math.abs(a.rho)),
    leastRho: leastBeyondChance(firings.length, ALPHA / looked),
    leastFirings: leastFirings(ALPHA / looked),
  };
}

/** Of all orders two agree in full, one each way. */
function leastFirings(alpha: number): number {
  let n = 2;
  while (2 / orders(n) > alpha) n += 1;
  return n;
}
