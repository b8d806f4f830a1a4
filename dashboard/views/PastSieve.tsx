/** Which of the past firings are shown. */
import type { FiringSummary } from '../../protocol/firing-record.ts';
import { type Sieve, yearOf } from '../learn/table.ts';
import { LEARN } from '../words.ts';
import { Group } from './Group.tsx';

interface Props {
  firings: readonly FiringSummary[];
  sieve: Sieve;
  onSieve(sieve: Sieve): void;
}

const RESULTS: readonly [Sieve['results'], string][] = [
  ['all', LEARN.all],
  ['counted', LEARN.counted],
  ['not-counted', LEARN.notCounted],
];

export function PastSieve({ firings, sieve, onSieve }: Props) {
  const years = [...new Set(firings.flatMap((firing) => yearOf(firing) ?? []))].sort((a, b) => b - a);
  return (
    <div class="past-sieve">
      <label class="field">
        <span>{LEARN.find}</span>
        <input
          type="text"
          autocomplete="off"
          value={sieve.text}
          onInput={(event) => onSieve({ ...sieve, text: event.currentTarget.value })}
        />
      </label>
      {years.length > 1 && (
        <label class="field">
          <span>{LEARN.year}</span>
          <select
            value={sieve.year === null ? '' : String(sieve.year)}
            onChange={({ currentTarget: { value } }) =>
              onSieve({ ...sieve, year: value === '' ? null : Number(value) })
            }
          >
            <option value="">{LEARN.anyYear}</option>
            {years.map((year) => (
              <option key={year} value={String(year)}>
                {year}
              </option>
            ))}
          </select>
        </label>
      )}
      <Group name={LEARN.results}>
        {RESULTS.map(([results, words]) => (
          <button
            key={results}
            type="button"
            class="press choice"
            aria-pressed={sieve.results === results}
            onClick={() => onSieve({ ...sieve, results })}
          >
            {words}
          </button>
        ))}
      </Group>
    </div>
  );
}
