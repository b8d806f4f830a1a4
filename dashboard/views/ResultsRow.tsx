/** What came out of one kind of ware at one place. */
import { useState } from 'preact/hooks';
import { BLUSHES, FAULTS, type ResultRow } from '../../protocol/results.ts';
import { leftOver, photoNames } from '../results/table.ts';
import { BLUSH_WORDS, FAULT_WORDS, RESULTS } from '../words.ts';
import { Counter } from './Counter.tsx';
import { Group } from './Group.tsx';

interface Props {
  row: ResultRow;
  onChange(row: ResultRow): void;
}

const STEPS = [1, 6] as const;
const MOST_PIECES = 10_000;

interface WordsProps {
  words: string;
  value: string;
  most: number;
  onChange(value: string): void;
}

function Words({ words, value, most, onChange }: WordsProps) {
  return (
    <label class="field">
      <span>{words}</span>
      <input
        type="text"
        maxLength={most}
        autocomplete="off"
        value={value}
        onInput={(event) => onChange(event.currentTarget.value)}
      />
    </label>
  );
}

export function ResultsRow({ row, onChange }: Props) {
  const [typed, setTyped] = useState('');
  // One's own typing ('a.jpg, ') is left as it is; names that came from elsewhere are shown.
  const names = row.photos.join(', ');
  const photos = photoNames(typed).join(', ') === names ? typed : names;
  const set = (part: Partial<ResultRow>) => onChange({ ...row, ...part });
  const left = leftOver(row);
  return (
    <fieldset class="result-row">
      <legend>{row.clay === '' ? row.shape : `${row.shape}, ${row.clay}`}</legend>
      {row.loaded !== null && left !== null && (
        <div class="group-row">
          <p>
            {RESULTS.loaded(row.loaded)} {RESULTS.left(left)}
          </p>
          {left > 0 && (
            <button type="button" class="press" onClick={() => set({ good: row.good + left })}>
              {RESULTS.allGood(left)}
            </button>
          )}
        </div>
      )}
      {(['good', 'seconds', 'lost'] as const).map((which) => (
        <Counter
          key={which}
          words={RESULTS[which]}
          count={row[which]}
          steps={STEPS}
          onMore={(more) => set({ [which]: Math.min(MOST_PIECES, Math.max(0, row[which] + more)) })}
        />
      ))}
      {(row.seconds + row.lost > 0 || row.faults.length > 0) && (
        <Group name={RESULTS.faults}>
          {FAULTS.map((fault) => {
            const pressed = row.faults.includes(fault);
            return (
              <button
                key={fault}
                type="button"
                class="press choice"
                aria-pressed={pressed}
                onClick={() =>
                  set({
                    faults: FAULTS.filter((one) => (one === fault ? !pressed : row.faults.includes(one))),
                  })
                }
              >
                {FAULT_WORDS[fault]}
              </button>
            );
          })}
        </Group>
      )}
      <Group name={RESULTS.blush}>
        {BLUSHES.map((blush) => (
          <button
            key={blush}
            type="button"
            class="press choice"
            aria-pressed={row.blush === blush}
            onClick={() => set({ blush: row.blush === blush ? null : blush })}
          >
            {BLUSH_WORDS[blush]}
          </button>
        ))}
      </Group>
      <Words words={RESULTS.colour} value={row.colour} most={500} onChange={(colour) => set({ colour })} />
      <Words words={RESULTS.notes} value={row.notes} most={500} onChange={(notes) => set({ notes })} />
      <Words
        words={`${RESULTS.photos}. ${RESULTS.photosHelp}`}
        value={photos}
        most={1000}
        onChange={(text) => {
          setTyped(text);
          set({ photos: photoNames(text) });
        }}
      />
    </fieldset>
  );
}
