/** The facts of past firings: reckoned one firing at a time, and kept in memory as long as its files stay as they are. */
import { join } from 'node:path';
import type { FiringFacts, FiringFactsAnswer, FiringYield } from '../../protocol/firing-facts.ts';
import { type Results, yieldOf } from '../../protocol/results.ts';
import { UnreadableResults } from '../archive/results.ts';
import type { Feed } from './feed.ts';
import { factsOfRecord } from './record.ts';
import { loadFiring } from './recorded.ts';
import type { ResultsBook } from './results-doors.ts';

/** What is known of a firing, and what could not be read of it, a sentence each. */
interface Known {
  facts: FiringFacts;
  troubles: string[];
}

/** The facts of the firing of this name; null if there is none. */
export type FactsBook = (id: string) => Promise<Known | null>;

/** `versionOf` tells the files of a folder from what they were before. */
export function createFactsBook(
  dataFolder: string,
  versionOf: (folder: string) => Promise<string>,
): FactsBook {
  const known = new Map<string, { version: string; facts: Promise<Known | null> }>();
  let turn: Promise<unknown> = Promise.resolve();

  async function reckon(folder: string): Promise<Known | null> {
    const troubles: string[] = [];
    const record = await loadFiring(folder, (text) => troubles.push(text));
    return record && { facts: factsOfRecord(record), troubles };
  }

  return async (id) => {
    const folder = join(dataFolder, id);
    const version = await versionOf(folder);
    const before = known.get(id);
    if (before?.version === version) return before.facts;
    // One after the other: each reads megabytes, and the firing that burns needs the disk and the time too.
    const facts = turn.then(() => reckon(folder));
    turn = facts.catch(() => undefined);
    known.set(id, { version, facts });
    facts.catch(() => known.delete(id));
    return facts;
  };
}

/** What came out, by place in the order of the rows; null where nothing was counted. */
export function firingYield({ rows }: Results): FiringYield | null {
  const { good, seconds, lost, share } = yieldOf(rows);
  if (share === null) return null;
  const places = [...new Set(rows.map(({ place }) => place))].map((place) => {
    const here = yieldOf(rows.filter((row) => row.place === place));
    return { place, good: here.good, seconds: here.seconds, lost: here.lost };
  });
  return { good, seconds, lost, share, places };
}

/**
 * The answer for a firing, of the one that burns as it stands; null if there is none of this name. Results that cannot be
 * read are told in a sentence, and the figures stand all the same.
 */
export async function factsAnswer(
  id: string,
  feed: Pick<Feed, 'firingId' | 'facts'>,
  { facts, results }: { facts?: FactsBook; results?: ResultsBook },
): Promise<FiringFactsAnswer | null> {
  const known = id === feed.firingId ? { facts: feed.facts(), troubles: [] } : await facts?.(id);
  if (!known) return null;
  const troubles = [...known.troubles];
  const rows = await results?.read(id).catch((error: unknown) => {
    if (!(error instanceof UnreadableResults)) throw error;
    troubles.push(error.message);
  });
  return { facts: known.facts, yield: rows ? firingYield(rows) : null, troubles };
}
