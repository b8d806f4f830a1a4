/** Something that is fetched once a page is shown. */
import { useEffect, useState } from 'preact/hooks';

type Fetched<T> = { state: 'loading' } | { state: 'failed' } | { state: 'here'; what: T };

/** Fetches once, and again when asked to. */
export function useFetched<T>(fetchIt: () => Promise<T | null>, key: string): [Fetched<T>, () => void] {
  const [fetched, setFetched] = useState<Fetched<T>>({ state: 'loading' });
  const [round, setRound] = useState(0);
  // The key and the round say what is fetched; the function itself is another one at each rendering.
  const wanted = `${key} ${round}`;
  const [begun, setBegun] = useState('');
  useEffect(() => {
    if (begun === wanted) return;
    setBegun(wanted);
    setFetched({ state: 'loading' });
    void fetchIt().then((what) => setFetched(what === null ? { state: 'failed' } : { state: 'here', what }));
  }, [begun, wanted, fetchIt]);
  return [fetched, () => setRound(round + 1)];
}
