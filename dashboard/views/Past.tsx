/** Firings that were kept, newest first. */
import { useEffect, useState } from 'preact/hooks';
import type { FiringSummary } from '../../protocol/live-messages.ts';
import type { TemperatureUnit } from '../../protocol/units.ts';
import { fetchFirings } from '../fetch-past.ts';
import { sayDate, sayShort, sayTemp } from '../say.ts';
import { IMPORT, SAY } from '../words.ts';

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

export function Past({ unit }: { unit: TemperatureUnit }) {
  const [fetched, again] = useFetched(fetchFirings, 'list');
  return (
    <section class="past" aria-labelledby="past-title">
      <h2 id="past-title">{SAY.past}</h2>
      <div class="way-back">
        <a class="press" href="#/import">
          {IMPORT.short}
        </a>
      </div>
      {fetched.state === 'loading' && <p>{SAY.pastLoading}</p>}
      {fetched.state === 'failed' && (
        <p>
          {SAY.pastFailed}{' '}
          <button type="button" class="press plain" onClick={again}>
            {SAY.tryAgain}
          </button>
        </p>
      )}
      {fetched.state === 'here' && fetched.what.length === 0 && <p>{SAY.pastEmpty}</p>}
      {fetched.state === 'here' && (
        <ul class="past-list">
          {fetched.what.map((firing) => (
            <li key={firing.id}>
              <a
                class="press"
                href={`#/past/${encodeURIComponent(firing.id)}`}
                aria-label={SAY.watchAgain(`${firing.name}, ${summaryWords(firing, unit)}`)}
              >
                <span class="press-word">{firing.name}</span>
                <span class="press-small">{summaryWords(firing, unit)}</span>
              </a>
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}

function summaryWords(firing: FiringSummary, unit: TemperatureUnit): string {
  const { startedAt, endedAt, topC, running } = firing;
  const parts = [startedAt === null ? SAY.notDated : sayDate(startedAt)];
  if (running) parts.push(SAY.running);
  else if (startedAt !== null && endedAt !== null) parts.push(SAY.tookHours(sayShort(endedAt - startedAt)));
  if (topC !== null) parts.push(SAY.top(sayTemp(topC, unit)));
  return parts.join(' · ');
}
