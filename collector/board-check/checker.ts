/** The check before lighting beside a firing: answers the pages that ask. */
import type { BoardFacts } from '../../protocol/board-facts.ts';
import type { Stage } from '../../protocol/stages.ts';
import type { Tap } from './tap.ts';

export interface CheckerSettings {
  taps: readonly Tap[];
  /** A cable is tried before the fire is lit, and at no other time. */
  stage: () => Stage;
  /** Whether these are boards with a cable. */
  real: boolean;
}

/**
 * How the boards stand now. Each asking puts a question to them if it is time, so that a page that looks on learns how
 * they answer. `cable`: the link that is to be shut and opened again; the answer says in a sentence why not, if not.
 */
export function newChecker({ taps, stage, real }: CheckerSettings) {
  const tryCable = (name: string): string | null => {
    const tap = taps.find((one) => one.name === name);
    if (!real || tap === undefined) return 'This is no board with a cable that could be tried.';
    if (stage() !== 'before')
      return 'The cable is tried only before the kiln is lit: now no reading may be lost.';
    void tap.tryCable();
    return null;
  };
  return (cable: string | null): { boards: BoardFacts[]; refused: string | null } => {
    const refused = cable === null ? null : tryCable(cable);
    for (const tap of taps) tap.ask();
    return { boards: taps.flatMap((tap) => tap.facts()), refused };
  };
}
