/** What each of the firings beside each other was read at one moment: fetched, since the curves here are thinned. */
import { useEffect, useState } from 'preact/hooks';
import { fetchStretch } from '../fetch-past.ts';
import { type Beside, READ_WITHIN_MS, type Read, readAt } from './beside.ts';

/** By the firing's id; null where nothing was read then. What is not here yet is not in it. */
export type Reads = ReadonlyMap<string, Read | null>;

const NONE: Reads = new Map();
/** A thumb on its way asks for nothing. */
const RESTS_MS = 150;
/** So many pixels thin nothing of a quarter of an hour. */
const WIDTH = 10_000;

async function fetchReads(all: readonly Beside[], readMs: number): Promise<Reads> {
  const reads = all.map(async ({ record, answer }): Promise<[string, Read | null]> => {
    const { id } = record.firing;
    const { litAt } = answer.facts;
    if (litAt === null) return [id, null];
    const atMs = litAt + readMs;
    const curve = await fetchStretch(id, atMs - READ_WITHIN_MS, atMs, WIDTH);
    return [id, curve && readAt(curve, atMs)];
  });
  return new Map(await Promise.all(reads));
}

/** At `readMs` after each one's light-up. */
export function useReads(all: readonly Beside[], readMs: number): Reads {
  const [known, setKnown] = useState({ readMs: Number.NaN, reads: NONE });
  useEffect(() => {
    let gone = false;
    const timer = setTimeout(() => {
      void fetchReads(all, readMs).then((reads) => {
        if (!gone) setKnown({ readMs, reads });
      });
    }, RESTS_MS);
    return () => {
      gone = true;
      clearTimeout(timer);
    };
  }, [all, readMs]);
  return known.readMs === readMs ? known.reads : NONE;
}
