/** What is remembered of what was told about the salt. */
import type { LoggedFacts } from './log-book.ts';
import type { SaltSay } from './salting-facts.ts';

/** When the salt was last told, by which log book, and what was said. */
export interface Salting {
  saidAt: number;
  logged: LoggedFacts | null;
  say: SaltSay | null;
}

export function newSalting(): Salting {
  return { saidAt: Number.NEGATIVE_INFINITY, logged: null, say: null };
}
