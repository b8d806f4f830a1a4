/** The curve, with what stretch of it is shown, and a reading of any moment of it in words. */
import { useState } from 'preact/hooks';
import type { TemperatureUnit } from '../../protocol/units.ts';
import type { Cell, Columns } from '../curve/columns.ts';
import { type Range, sceneOf } from '../curve/scene.ts';
import { litAt } from '../firing.ts';
import type { Moment } from '../moment.ts';
import { sayIn, sayTemp, sayWhen } from '../say.ts';
import { SAY } from '../words.ts';
import { CurveHost } from './CurveHost.tsx';
import { LineSample, MarkLegend } from './CurveLegend.tsx';

interface Props {
  moment: Moment;
  columns: Columns;
  unit: TemperatureUnit;
  /** A shorter stretch is looked at: it may be fetched finer. */
  onCloser?(from: number, to: number): void;
}

const HOUR = 3_600_000;
const CHOICES = [
  { range: 'whole', words: SAY.whole, label: SAY.wholeLabel, spanMs: null },
  { range: '4h', words: SAY.last4h, label: SAY.last4hLabel, spanMs: 4 * HOUR },
  { range: '1h', words: SAY.last1h, label: SAY.last1hLabel, spanMs: HOUR },
] as const;

/** What each line shows at a moment, and that moment in words. */
interface Shown {
  when: string;
  values: { name: string; words: string }[];
}

/** The newest value up to `row`: a row of another board says nothing of this line. */
function valueAt(cells: readonly Cell[], row: number, unit: TemperatureUnit): string {
  let at = row;
  while (at > 0 && cells[at] === undefined) at -= 1;
  const value = cells[at];
  return typeof value === 'number' ? sayTemp(value, unit) : SAY.gapHere;
}

function shownAt(columns: Columns, row: number, moment: Moment, unit: TemperatureUnit): Shown {
  const at = columns.at[row] ?? moment.now;
  const lit = litAt({ log: moment.log, stages: moment.firing.stages });
  const since = lit === null || at < lit ? '' : `, ${sayIn(at - lit)}`;
  return {
    when: `${sayWhen(at, moment.now)}${since}`,
    values: [
      { name: SAY.kilnLine, words: valueAt(columns.kiln, row, unit) },
      ...columns.probes.map(({ probe, tempC }) => ({ name: probe, words: valueAt(tempC, row, unit) })),
    ],
  };
}

function inWords({ when, values }: Shown): string {
  return `${when}: ${values.map(({ name, words }) => `${name} ${words}`).join(', ')}`;
}

export function Curve({ moment, columns, unit, onCloser }: Props) {
  const [range, setRange] = useState<Range>('whole');
  const [row, setRow] = useState<number | null>(null);
  const rows = columns.at.length;
  const shown = shownAt(columns, row ?? rows - 1, moment, unit);
  const choose = ({ range: next, spanMs }: (typeof CHOICES)[number]) => {
    setRange(next);
    const newest = columns.at.at(-1);
    if (spanMs !== null && newest !== undefined) onCloser?.(newest - spanMs, newest);
  };
  const stretch = (from: number, to: number) => {
    setRange({ from, to });
    onCloser?.(from, to);
  };
  return (
    <section class="curve" aria-labelledby="curve-title">
      <div class="curve-head">
        <h2 id="curve-title">{SAY.curve}</h2>
        <div class="choices">
          {CHOICES.map((choice) => (
            <button
              key={choice.range}
              type="button"
              class="press choice"
              aria-label={choice.label}
              aria-pressed={range === choice.range}
              onClick={() => choose(choice)}
            >
              {choice.words}
            </button>
          ))}
        </div>
      </div>
      {rows === 0 ? (
        <p class="curve-empty">{SAY.curveEmpty}</p>
      ) : (
        <CurveHost
          scene={sceneOf(moment.firing, moment.log, columns, moment.now, unit, range)}
          row={row}
          rows={rows}
          words={inWords(shown)}
          onRead={setRow}
          onStretch={stretch}
        />
      )}
      {rows > 0 && (
        <div class="curve-reading">
          <p class="quiet">{row === null ? `${SAY.newest}, ${shown.when}` : shown.when}</p>
          <ul>
            {shown.values.map(({ name, words }, index) => (
              <li key={name}>
                <LineSample index={index - 1} /> {name} <strong class="nowrap">{words}</strong>
              </li>
            ))}
          </ul>
        </div>
      )}
      <MarkLegend />
      <p class="quiet">{SAY.curveHelp}</p>
    </section>
  );
}
