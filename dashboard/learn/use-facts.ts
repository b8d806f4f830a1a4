/** The figures of many firings, asked for one after the other. */
import { useEffect, useRef, useState } from 'preact/hooks';
import type { FiringFactsAnswer } from '../../protocol/firing-facts.ts';
import { fetchFacts } from '../fetch-past.ts';

/** By id; null where they could not be had. What is not here yet is not in it. */
export type FactsById = ReadonlyMap<string, FiringFactsAnswer | null>;

export function useFacts(ids: readonly string[]): FactsById {
  const [known, setKnown] = useState<FactsById>(new Map());
  const here = useRef(known);
  here.current = known;
  const wanted = ids.join('/');
  useEffect(() => {
    let gone = false;
    const all = wanted === '' ? [] : wanted.split('/');
    const ask = async () => {
      for (const id of all) {
        if (here.current.get(id)) continue;
        const answer = await fetchFacts(id);
        if (gone) return;
        setKnown((before) => new Map(before).set(id, answer));
      }
    };
    void ask();
    return () => {
      gone = true;
    };
  }, [wanted]);
  return known;
}
