/** The log book: what people did and saw, and what was called out, newest first; a line's time can be mended. */
import { useState } from 'preact/hooks';
import type { TemperatureUnit } from '../../protocol/units.ts';
import { type Entry, litAt } from '../firing.ts';
import { type Kind, type LogLine, logLines } from '../log/log-lines.ts';
import type { Moment } from '../moment.ts';
import { sayIn, sayWhen } from '../say.ts';
import { BOOK, KIND_WORDS, SAY } from '../words.ts';
import { Group } from './Group.tsx';
import { HoldButton } from './HoldButton.tsx';

/** What a hand may do to the book; a past firing's is only read. */
export interface BookHands {
  /** What this phone is called in it. */
  here: string;
  /** Writes the entry down once more, in its place, as having happened at `at`. */
  mend(row: Entry, at: number): void;
  undo(id: string): void;
}

interface Props {
  moment: Moment;
  unit: TemperatureUnit;
  hands?: BookHands;
}

const SHOWN_AT_FIRST = 12;
const KINDS = ['all', 'fire', 'salt', 'cones', 'notes', 'calls'] as const;
const STEPS_MIN = [-60, -10, -1, 1, 10];
const MINUTE_MS = 60_000;

export function LogBook({ moment, unit, hands }: Props) {
  const [all, setAll] = useState(false);
  const [kind, setKind] = useState<Kind | 'all'>('all');
  const [open, setOpen] = useState<string | null>(null);
  const lines = logLines(moment, unit, hands?.here ?? null);
  const shown = kind === 'all' ? lines : lines.filter((line) => line.kind === kind);
  const lit = litAt({ log: moment.log, stages: moment.firing.stages });
  return (
    <section class="log" aria-labelledby="log-title">
      <h2 id="log-title">{SAY.log}</h2>
      {lines.length === 0 && <p>{SAY.logEmpty}</p>}
      {lines.length > SHOWN_AT_FIRST && (
        <Group name={BOOK.show}>
          {KINDS.map((each) => (
            <button
              key={each}
              type="button"
              class="press choice"
              aria-pressed={kind === each}
              onClick={() => setKind(each)}
            >
              {KIND_WORDS[each]}
            </button>
          ))}
        </Group>
      )}
      {lines.length > 0 && shown.length === 0 && <p>{BOOK.nothingOfIt}</p>}
      <ol class="log-lines">
        {(all ? shown : shown.slice(0, SHOWN_AT_FIRST)).map((line) => (
          <li key={line.key} class={line.undone ? 'is-undone' : ''}>
            <span class="log-when">
              {sayWhen(line.at, moment.now)}
              {lit !== null && line.at >= lit && <span class="log-in"> {sayIn(line.at - lit)}</span>}
            </span>
            <Line
              line={line}
              when={sayWhen(line.at, moment.now)}
              open={open === line.key}
              {...(hands && line.row ? { onTouch: () => setOpen(open === line.key ? null : line.key) } : {})}
            />
            {hands && line.row && open === line.key && (
              <Mend row={line.row} now={moment.now} hands={hands} onDone={() => setOpen(null)} />
            )}
          </li>
        ))}
      </ol>
      {shown.length > SHOWN_AT_FIRST && (
        <button type="button" class="press choice" aria-pressed={all} onClick={() => setAll(!all)}>
          {all ? SAY.showFewer : SAY.showAll(shown.length)}
        </button>
      )}
    </section>
  );
}

interface LineProps {
  line: LogLine;
  when: string;
  open: boolean;
  onTouch?: () => void;
}

function Line({ line, when, open, onTouch }: LineProps) {
  const more = line.more.length > 0 && <span class="log-more"> {line.more.join(', ')}</span>;
  return (
    <span class="log-words">
      {onTouch ? (
        <button
          type="button"
          class="log-line"
          aria-expanded={open}
          aria-label={BOOK.mendOf(line.words, when)}
          onClick={onTouch}
        >
          {line.words}
        </button>
      ) : line.undone ? (
        <s>{line.words}</s>
      ) : (
        line.words
      )}
      {line.undone && <span class="log-more"> {SAY.takenBack}</span>}
      {more}
    </span>
  );
}

interface MendProps {
  row: Entry;
  now: number;
  hands: BookHands;
  onDone(): void;
}

/** Another time for an entry, to be written down, or the entry taken back by a held press. */
function Mend({ row, now, hands, onDone }: MendProps) {
  const [at, setAt] = useState(row.at);
  // A plan holds from when it was changed.
  const fixed = row.log === 'plan';
  return (
    <div class="log-mend">
      {!fixed && (
        <Group name={BOOK.mendTime}>
          {STEPS_MIN.map((minutes) => (
            <button
              key={minutes}
              type="button"
              class="press"
              disabled={at + minutes * MINUTE_MS > now}
              onClick={() => setAt(at + minutes * MINUTE_MS)}
            >
              {BOOK.minutes(minutes)}
            </button>
          ))}
          <button
            type="button"
            class="press plain"
            disabled={at === row.at}
            onClick={() => {
              hands.mend(row, at);
              onDone();
            }}
          >
            {BOOK.willBe(sayWhen(at, now))}
          </button>
        </Group>
      )}
      <HoldButton
        words={SAY.undo}
        onHeld={() => {
          hands.undo(row.id);
          onDone();
        }}
      />
    </div>
  );
}
