/** What came out of a firing: counted by place, kept in its results.csv. */
import { useEffect, useState } from 'preact/hooks';
import type { RecordedFiring } from '../../protocol/firing-record.ts';
import type { Plan } from '../../protocol/plan.ts';
import { presentPlan } from '../../protocol/plan-in-log.ts';
import { type Results, resultKey, resultsSchema } from '../../protocol/results.ts';
import { fetchFiring } from '../fetch-past.ts';
import { kilnPath } from '../here.ts';
import { browserStorage, recall, remember } from '../keep.ts';
import { fetchResults, keepResults } from '../results/fetch-results.ts';
import { emptyRow, mergedRows, prefilled } from '../results/table.ts';
import { sayPlace } from '../say.ts';
import { fetchRoomWords, RESULTS, SAY, said } from '../words.ts';
import { Group } from './Group.tsx';
import { TextField } from './PlanFields.tsx';
import { ResultsGround } from './ResultsGround.tsx';
import { ResultsRow } from './ResultsRow.tsx';
import { useFetched } from './use-fetched.ts';

/** The results need no curve. */
const LEAST_WIDTH = 100;

interface Fetched {
  record: RecordedFiring;
  results: Results | null;
  /** Why they cannot be read. */
  text: string;
}

async function fetchBoth(id: string): Promise<Fetched | null> {
  const [record, answer] = await Promise.all([fetchFiring(id, LEAST_WIDTH), fetchResults(id)]);
  if (record === null || answer === null) return null;
  return answer.kind === 'no'
    ? { record, results: null, text: answer.text }
    : { record, results: answer.results, text: '' };
}

export function ResultsPage({ id }: { id: string }) {
  const [fetched, again] = useFetched(() => fetchBoth(id), id);
  useEffect(() => void fetchRoomWords('import'), []);
  return (
    <section class="results" aria-labelledby="results-title">
      <div class="way-back">
        <a class="press" href="#/past">
          {SAY.backToList}
        </a>
      </div>
      {fetched.state === 'loading' && <p>{RESULTS.loading}</p>}
      {fetched.state === 'failed' && (
        <p>
          {RESULTS.failed}{' '}
          <button type="button" class="press plain" onClick={again}>
            {SAY.tryAgain}
          </button>
        </p>
      )}
      {fetched.state === 'here' && (
        <>
          <h2 id="results-title">{RESULTS.titleOf(fetched.what.record.firing.name)}</h2>
          <p class="quiet">{RESULTS.caution}</p>
          {fetched.what.results === null ? (
            <p>{said(fetched.what.text)}</p>
          ) : (
            <Form
              id={id}
              plan={presentPlan(fetched.what.record.firstPlan, fetched.what.record.log)}
              first={fetched.what.results}
            />
          )}
        </>
      )}
    </section>
  );
}

/** What was counted and not kept yet survives a phone that falls asleep: `base` is the table that it came of. */
function useDraft(id: string, first: Results) {
  const storage = browserStorage();
  const name = `results${kilnPath(location.pathname)} ${id}`;
  const [base, setBase] = useState(first);
  const [rows, setRows] = useState(() => {
    const draft = recall(storage, name, resultsSchema.array().nullable(), null);
    const [from, mine] = draft ?? [];
    return from && mine ? mergedRows(from.rows, mine.rows, first.rows) : first.rows;
  });
  const put = (from: Results, mine: Results['rows']) => {
    setBase(from);
    setRows(mine);
    const changed = JSON.stringify(from.rows) !== JSON.stringify(mine);
    remember(storage, name, changed ? [from, { ...from, rows: mine }] : null);
  };
  return { base, rows, put };
}

function Form({ id, plan, first }: { id: string; plan: Plan; first: Results }) {
  const { base, rows, put } = useDraft(id, first);
  const [place, setPlace] = useState<string | null>(plan.places[0] ?? first.rows[0]?.place ?? null);
  const [kind, setKind] = useState({ shape: '', clay: '' });
  const [told, setTold] = useState('');
  const [keeping, setKeeping] = useState(false);
  const shown = prefilled(rows, plan.load);
  const places = [...new Set([...plan.places, ...shown.map((row) => row.place)])];
  const changed = JSON.stringify(rows) !== JSON.stringify(base.rows);
  const here = shown.filter((row) => row.place === place);
  const change = (next: Results['rows']) => {
    setTold('');
    put(base, next);
  };
  const keep = async () => {
    setKeeping(true);
    const answer = await keepResults(id, { revision: base.revision, rows });
    setKeeping(false);
    if (answer === null) return setTold(RESULTS.notHeard);
    if (answer.kind === 'no') return setTold(said(answer.text));
    if (answer.kind === 'results') {
      put(answer.results, answer.results.rows);
      return setTold(RESULTS.kept);
    }
    put(answer.results, mergedRows(base.rows, rows, answer.results.rows));
    setTold(said(answer.text));
  };
  if (place === null) return <p>{RESULTS.noPlaces}</p>;
  const named = { shape: kind.shape.trim(), clay: kind.clay.trim() };
  const key = resultKey({ place, ...named });
  return (
    <>
      <ResultsGround places={places} rows={rows} chosen={place} onChoose={setPlace} />
      <section class="place-sheet" aria-label={sayPlace(place)}>
        <h3>{sayPlace(place)}</h3>
        {here.length === 0 && <p>{RESULTS.noWare}</p>}
        {here.map((row) => (
          <ResultsRow
            key={resultKey(row)}
            row={row}
            onChange={(next) => {
              const at = rows.findIndex((one) => resultKey(one) === resultKey(row));
              change(at < 0 ? [...rows, next] : rows.map((one, index) => (index === at ? next : one)));
            }}
          />
        ))}
        <Group name={RESULTS.newKind}>
          <TextField
            words={RESULTS.shape}
            value={kind.shape}
            onChange={(shape) => setKind({ ...kind, shape })}
          />
          <TextField words={RESULTS.clay} value={kind.clay} onChange={(clay) => setKind({ ...kind, clay })} />
          <button
            type="button"
            class="press"
            disabled={named.shape === '' || shown.some((row) => resultKey(row) === key)}
            onClick={() => {
              change([...rows, emptyRow(place, named.shape, named.clay)]);
              setKind({ shape: '', clay: '' });
            }}
          >
            {RESULTS.addKind}
          </button>
        </Group>
      </section>
      <div class="plan-keep">
        <p aria-live="polite">
          {keeping ? RESULTS.keeping : told || (changed ? RESULTS.notKept : RESULTS.nothingChanged)}
        </p>
        <button type="button" class="press plain" disabled={!changed || keeping} onClick={() => void keep()}>
          {RESULTS.keep}
        </button>
      </div>
    </>
  );
}
