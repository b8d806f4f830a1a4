/** Firings that were kept: a table to sort and to sift, and what went together with good yields. */
import { useEffect, useState } from 'preact/hooks';
import type { FiringSummary } from '../../protocol/firing-record.ts';
import type { TemperatureUnit } from '../../protocol/units.ts';
import { fetchFiringList } from '../fetch-past.ts';
import { ALL, NEWEST_FIRST, type Sieve, sifted, sorted, sortedAgain } from '../learn/table.ts';
import { useFacts } from '../learn/use-facts.ts';
import { IMPORT, LEARN, SAY } from '../words.ts';
import { PastSieve } from './PastSieve.tsx';
import { PastTable } from './PastTable.tsx';
import { useFetched } from './use-fetched.ts';
import { WentTogether } from './WentTogether.tsx';

/** How often a list that still grows is asked for. */
const AGAIN_MS = 8000;

export function Past({ unit }: { unit: TemperatureUnit }) {
  const [fetched, again] = useFetched(fetchFiringList, 'list');
  // While the list is asked for again, the one that is known stays.
  const [list, setList] = useState<Awaited<ReturnType<typeof fetchFiringList>>>(null);
  if (fetched.state === 'here' && fetched.what !== list) setList(fetched.what);
  const grows = fetched.state === 'here' && fetched.what.making;
  useEffect(() => {
    if (!grows) return;
    const timer = setTimeout(again, AGAIN_MS);
    return () => clearTimeout(timer);
  }, [grows]);
  return (
    <section class="past" aria-labelledby="past-title">
      <h2 id="past-title">{SAY.past}</h2>
      <div class="way-back">
        <a class="press" href="#/import">
          {IMPORT.short}
        </a>
      </div>
      {fetched.state === 'loading' && list === null && <p>{SAY.pastLoading}</p>}
      {fetched.state === 'failed' && (
        <p>
          {SAY.pastFailed}{' '}
          <button type="button" class="press plain" onClick={again}>
            {SAY.tryAgain}
          </button>
        </p>
      )}
      {list?.making && <p>{LEARN.making}</p>}
      {list?.firings.length === 0 && <p>{SAY.pastEmpty}</p>}
      {list !== null && list.firings.length > 0 && <Firings firings={list.firings} unit={unit} />}
    </section>
  );
}

/** What can stand beside each other and still be read. */
const MOST_BESIDE = 6;

function Firings({ firings, unit }: { firings: readonly FiringSummary[]; unit: TemperatureUnit }) {
  const [sorting, setSorting] = useState(NEWEST_FIRST);
  const [sieve, setSieve] = useState<Sieve>(ALL);
  const [ticked, setTicked] = useState<readonly string[]>([]);
  const facts = useFacts(firings.map(({ id }) => id));
  const rows = firings.map((firing) => ({ firing, answer: facts.get(firing.id) ?? null }));
  const shown = sorted(sifted(rows, sieve), sorting);
  const done = facts.size;
  return (
    <>
      <PastSieve firings={firings} sieve={sieve} onSieve={setSieve} />
      <p class="past-count" aria-live="polite">
        {shown.length === 0 ? LEARN.noneFits : LEARN.shown(shown.length, firings.length)}
        {done < firings.length && ` ${LEARN.reckoning(done, firings.length)}`}
      </p>
      {shown.length > 0 && (
        <PastTable
          rows={shown}
          known={facts}
          sorting={sorting}
          unit={unit}
          ticked={ticked}
          onSort={(by) => setSorting(sortedAgain(sorting, by))}
          onTick={(id) =>
            setTicked(
              ticked.includes(id) ? ticked.filter((one) => one !== id) : [...ticked, id].slice(-MOST_BESIDE),
            )
          }
        />
      )}
      {firings.length > 1 && (
        <div class="past-beside">
          {ticked.length < 2 ? (
            <p>{LEARN.tickMore}</p>
          ) : (
            <a class="press plain" href={`#/compare/${ticked.map(encodeURIComponent).join('/')}`}>
              {LEARN.compare(ticked.length)}
            </a>
          )}
          {ticked.length > 0 && (
            <button type="button" class="press" onClick={() => setTicked([])}>
              {LEARN.untick}
            </button>
          )}
        </div>
      )}
      {done === firings.length && <WentTogether rows={rows} />}
    </>
  );
}
