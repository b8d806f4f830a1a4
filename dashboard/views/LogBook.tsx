/** The log book: what people did and saw, and what was called out, newest first. */
import { useState } from 'preact/hooks';
import { planOfEntry, presentPlan } from '../../protocol/plan-in-log.ts';
import type { TemperatureUnit } from '../../protocol/units.ts';
import { type Entry, litAt } from '../firing.ts';
import { entryWords } from '../log-words.ts';
import type { Moment } from '../moment.ts';
import { planChanges } from '../plan/changes.ts';
import { PLAN } from '../plan/plan-words.ts';
import { inOneUnit, sayIn, sayWhen } from '../say.ts';
import { PRIORITY_WORDS, SAY } from '../words.ts';

export interface LogLine {
  key: string;
  at: number;
  words: string;
  more: string[];
  undone: boolean;
}

/** Rows that the collector writes for itself, or that are shown elsewhere. */
const NOT_SHOWN = new Set(['hello', 'alert', 'ack', 'shelve', 'undo']);
const SHOWN_AT_FIRST = 12;

/** What a changed plan changed, against the one that stood before it. */
function planWords(row: Entry, { firing, log }: Moment, unit: TemperatureUnit): string {
  const plan = planOfEntry(row.json);
  if (!plan) return entryWords(row.log, row.json, unit);
  const earlier = log.filter((one) => one.entry < row.entry && one.id !== row.id);
  const changes = planChanges(presentPlan(firing.firstPlan, earlier), plan, unit);
  return changes.length === 0 ? entryWords(row.log, row.json, unit) : `${PLAN.title}. ${changes.join('. ')}`;
}

export function logLines(moment: Moment, unit: TemperatureUnit): LogLine[] {
  const entries = moment.log
    .filter(({ log }) => !NOT_SHOWN.has(log))
    .map((row): LogLine => {
      const by = row.who === '' ? [] : [SAY.by(row.who)];
      const more = [...by, ...(row.pending ? [SAY.onItsWay] : [])];
      return {
        key: `${row.id} ${row.entry}`,
        at: row.at,
        words: row.log === 'plan' ? planWords(row, moment, unit) : entryWords(row.log, row.json, unit),
        more,
        undone: row.undone,
      };
    });
  const alerts = moment.firing.alerts
    .filter(({ alert }) => alert.priority !== 'note')
    .map(({ alert }): LogLine => {
      return {
        key: alert.id,
        at: alert.raisedAt,
        words: inOneUnit(alert.text, unit),
        more: [PRIORITY_WORDS[alert.priority]],
        undone: false,
      };
    });
  return [...entries, ...alerts].sort((a, b) => b.at - a.at);
}

export function LogBook({ moment, unit }: { moment: Moment; unit: TemperatureUnit }) {
  const [all, setAll] = useState(false);
  const lines = logLines(moment, unit);
  const lit = litAt({ log: moment.log, stages: moment.firing.stages });
  return (
    <section class="log" aria-labelledby="log-title">
      <h2 id="log-title">{SAY.log}</h2>
      {lines.length === 0 && <p>{SAY.logEmpty}</p>}
      <ol class="log-lines">
        {(all ? lines : lines.slice(0, SHOWN_AT_FIRST)).map((line) => (
          <li key={line.key} class={line.undone ? 'is-undone' : ''}>
            <span class="log-when">
              {sayWhen(line.at, moment.now)}
              {lit !== null && line.at >= lit && <span class="log-in"> {sayIn(line.at - lit)}</span>}
            </span>
            <span class="log-words">
              {line.undone ? <s>{line.words}</s> : line.words}
              {line.undone && <span class="log-more"> {SAY.takenBack}</span>}
              {line.more.length > 0 && <span class="log-more"> {line.more.join(', ')}</span>}
            </span>
          </li>
        ))}
      </ol>
      {lines.length > SHOWN_AT_FIRST && (
        <button type="button" class="press choice" aria-pressed={all} onClick={() => setAll(!all)}>
          {all ? SAY.showFewer : SAY.showAll(lines.length)}
        </button>
      )}
    </section>
  );
}
