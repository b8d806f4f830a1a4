/** The curve, with what stretch of it is shown, and a reading of any moment of it in words. */
import { useState } from 'preact/hooks';
import type { TemperatureUnit } from '../../protocol/units.ts';
import type { Columns } from '../curve/columns.ts';
import { type Range, sceneOf } from '../curve/scene.ts';
import { litAt } from '../firing.ts';
import { sayIn, sayTemp, sayWhen } from '../say.ts';
import type { Moment } from '../sentence.ts';
import { SAY } from '../words.ts';
import { CurveHost } from './CurveHost.tsx';

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

function readingAt(columns: Columns, row: number, moment: Moment, unit: TemperatureUnit): string {
  const at = columns.at[row];
  if (at === undefined) return SAY.curveHelp;
  const lit = litAt({ log: moment.log, stages: moment.firing.stages });
  const when = lit === null || at < lit ? '' : ` (${sayIn(at - lit)})`;
  const known = (cells: readonly (number | null | undefined)[]) => {
    const value = cells[row];
    return typeof value === 'number' ? sayTemp(value, unit) : SAY.gapHere;
  };
  const lines = columns.probes.map(({ probe, tempC }) => `${probe} ${known(tempC)}`);
  return `${sayWhen(at, moment.now)}${when}: ${[`${SAY.kilnLine} ${known(columns.kiln)}`, ...lines].join(', ')}`;
}

export function Curve({ moment, columns, unit, onCloser }: Props) {
  const [range, setRange] = useState<Range>('whole');
  const [row, setRow] = useState<number | null>(null);
  const rows = columns.at.length;
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
          words={readingAt(columns, row ?? rows - 1, moment, unit)}
          onRead={setRow}
          onStretch={stretch}
        />
      )}
      <p class="curve-reading">{row === null ? SAY.curveHelp : readingAt(columns, row, moment, unit)}</p>
      <p class="curve-legend">{SAY.legendMarks}</p>
    </section>
  );
}
