/** The table of past firings; on a phone each row is a card. */
import type { ComponentChildren } from 'preact';
import { figureOf } from '../../collector/core/firing-facts/figures.ts';
import { formatCone } from '../../protocol/cones.ts';
import type { FiringFactsAnswer } from '../../protocol/firing-facts.ts';
import type { TemperatureUnit } from '../../protocol/units.ts';
import { sayFigure } from '../learn/say-apart.ts';
import { COLUMNS, type ColumnName, type PastRow, type Sorting } from '../learn/table.ts';
import type { FactsById } from '../learn/use-facts.ts';
import { sayCone, sayDate, sayShort, sayTemp } from '../say.ts';
import { LEARN, RESULTS, SAY, said } from '../words.ts';

interface Props {
  rows: readonly PastRow[];
  known: FactsById;
  sorting: Sorting;
  unit: TemperatureUnit;
  ticked: readonly string[];
  onSort(by: ColumnName): void;
  onTick(id: string): void;
}

export function PastTable({ rows, known, sorting, unit, ticked, onSort, onTick }: Props) {
  return (
    <table class="past-table">
      <caption>
        <span class="unseen">{SAY.past}</span>
        <span class="sort-by" aria-hidden="true">
          {LEARN.sortBy}
        </span>
      </caption>
      <thead>
        <tr>
          {COLUMNS.map((column) => (
            <th
              key={column}
              scope="col"
              class="past-head"
              aria-sort={sorting.by !== column ? 'none' : sorting.up ? 'ascending' : 'descending'}
            >
              <button type="button" class="sort" onClick={() => onSort(column)}>
                {LEARN.columns[column]}
                <span class="sort-mark" aria-hidden="true">
                  {sorting.by !== column ? '' : sorting.up ? '▲' : '▼'}
                </span>
              </button>
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {rows.map((row) => (
          <Row
            key={row.firing.id}
            row={row}
            failed={known.get(row.firing.id) === null}
            unit={unit}
            ticked={ticked.includes(row.firing.id)}
            onTick={() => onTick(row.firing.id)}
          />
        ))}
      </tbody>
    </table>
  );
}

interface RowProps {
  row: PastRow;
  failed: boolean;
  unit: TemperatureUnit;
  ticked: boolean;
  onTick(): void;
}

function Row({ row, failed, unit, ticked, onTick }: RowProps) {
  const { firing, answer } = row;
  const here = `#/past/${encodeURIComponent(firing.id)}`;
  return (
    <tr class={ticked ? 'past-row is-ticked' : 'past-row'}>
      <th scope="row" class="past-firing">
        <a class="press" href={here} aria-label={SAY.watchAgain(firing.name)}>
          <span class="press-word">{firing.name}</span>
        </a>
        <span class="past-ways">
          <label class="tick">
            <input
              type="checkbox"
              checked={ticked}
              aria-label={LEARN.compareThisLong(firing.name)}
              onChange={onTick}
            />
            <span>{LEARN.compareThis}</span>
          </label>
          <a class="past-results" href={`${here}/results`} aria-label={`${RESULTS.title}: ${firing.name}`}>
            {RESULTS.title}
          </a>
        </span>
        {failed && <span class="past-trouble">{LEARN.factsFailed}</span>}
        {answer?.troubles.map((text) => (
          <span key={text} class="past-trouble">
            {said(text)}
          </span>
        ))}
      </th>
      {COLUMNS.filter((column) => column !== 'firing').map((column) => (
        <td key={column} class="past-cell">
          <span class="cell-name" aria-hidden="true">
            {LEARN.columns[column]}
          </span>
          <span class="cell-value">{cellOf(column, row, unit) ?? <Unknown />}</span>
        </td>
      ))}
    </tr>
  );
}

function Unknown() {
  return (
    <>
      <span aria-hidden="true">{LEARN.notKnown}</span>
      <span class="unseen">{LEARN.notKnownLong}</span>
    </>
  );
}

/** Null where it is not known. */
function cellOf(column: ColumnName, { firing, answer }: PastRow, unit: TemperatureUnit): ComponentChildren {
  if (column === 'date') {
    if (firing.startedAt === null) return SAY.notDated;
    return firing.running ? `${sayDate(firing.startedAt)}, ${SAY.running}` : sayDate(firing.startedAt);
  }
  if (column === 'topC') {
    const topC = answer?.facts.topC ?? firing.topC;
    return topC === null ? null : sayTemp(topC, unit);
  }
  if (answer === null || column === 'firing') return null;
  if (column === 'share') return <Good answer={answer} />;
  const value = figureOf(answer.facts, column);
  if (value === null) return null;
  if (column === 'topCone') return <Cones answer={answer} />;
  if (column === 'stalls') return LEARN.stalls(value, sayShort(answer.facts.stallMs));
  return sayFigure(column, value, answer.facts, unit);
}

function Good({ answer }: { answer: FiringFactsAnswer }) {
  const { yield: came } = answer;
  if (came === null) return <Unknown />;
  const { good, seconds, lost, share } = came;
  return (
    <>
      <strong>{LEARN.share(Math.round(100 * share))}</strong>
      <span class="cell-more">{LEARN.good(good, good + seconds + lost)}</span>
    </>
  );
}

/** Each place with its cone; one that broke before the end is named so. */
function Cones({ answer }: { answer: FiringFactsAnswer }) {
  return (
    <span class="cones">
      {answer.facts.places.map(({ probe, cone, lost }) => (
        <span key={probe}>
          {probe} <strong>{lost ? LEARN.lostPlace : sayCone(formatCone(cone) ?? LEARN.notKnown)}</strong>
        </span>
      ))}
    </span>
  );
}
