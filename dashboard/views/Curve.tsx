/** The curve, with what stretch of it is shown, and a reading of any moment of it in words. */
import { useEffect, useId, useRef, useState } from 'preact/hooks';
import type { TemperatureUnit } from '../../protocol/units.ts';
import type { Cell, Columns } from '../curve/columns.ts';
import { type Scene, sceneOf } from '../curve/scene.ts';
import { moved, type Range, zoomed } from '../curve/view.ts';
import { litAt } from '../firing.ts';
import { logLines } from '../log/log-lines.ts';
import type { Moment } from '../moment.ts';
import { sayIn, sayTemp, sayWhen } from '../say.ts';
import { spokenFiring } from '../spoken.ts';
import { CURVE, SAY } from '../words.ts';
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
  { lastMs: null, words: CURVE.whole, label: CURVE.wholeLabel },
  { lastMs: 4 * HOUR, words: CURVE.last4h, label: CURVE.last4hLabel },
  { lastMs: HOUR, words: CURVE.last1h, label: CURVE.last1hLabel },
] as const;

/** A press of a button or key: so much closer, and so far along. */
const CLOSER = 0.5;
const STEP_PART = 0.5;
/** A finer stretch is asked for once the hands have been still so long. */
const STILL_MS = 250;
/** The log book's lines within this part of the shown width are 'under' the reading line. */
const UNDER_PART = 0.012;
const MOST_UNDER = 4;

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

/** What was done, seen or called out about the moment that is read. */
function UnderLine({ scene, at, moment }: { scene: Scene; at: number; moment: Moment }) {
  const reach = (scene.to - scene.from) * UNDER_PART;
  const lines = logLines(moment, scene.unit)
    .filter((line) => !line.undone && Math.abs(line.at - at) <= reach)
    .slice(0, MOST_UNDER);
  if (lines.length === 0) return null;
  return (
    <ul class="curve-under">
      {lines.map((line) => (
        <li key={line.key}>
          <span class="quiet">{sayWhen(line.at, moment.now)}</span> {line.words}
        </li>
      ))}
    </ul>
  );
}

/** A stretch that is shorter than the whole is asked for again, finer, once the hands are still. */
function useCloser(scene: Scene, range: Range, onCloser: Props['onCloser']): void {
  const { from, to } = scene;
  const key = range === 'whole' ? '' : 'lastMs' in range ? `last ${range.lastMs}` : `${from} ${to}`;
  const latest = useRef({ from, to, onCloser });
  latest.current = { from, to, onCloser };
  useEffect(() => {
    if (key === '') return;
    const timer = setTimeout(
      () => latest.current.onCloser?.(latest.current.from, latest.current.to),
      STILL_MS,
    );
    return () => clearTimeout(timer);
  }, [key]);
}

export function Curve({ moment, columns, unit, onCloser }: Props) {
  const [range, setRange] = useState<Range>('whole');
  const [row, setRow] = useState<number | null>(null);
  const [hidden, setHidden] = useState<ReadonlySet<string>>(new Set());
  const wholeId = useId();
  const rows = columns.at.length;
  const shown = shownAt(columns, row ?? rows - 1, moment, unit);
  const scene = sceneOf(moment.firing, moment.log, columns, moment.now, unit, range, hidden);
  useCloser(scene, range, onCloser);
  const middle = (scene.from + scene.to) / 2;
  const closer = (factor: number) => {
    // What follows the newest comes closer about the newest, a stretch about its middle.
    const about =
      row === null ? (scene.to >= scene.whole.newest ? scene.whole.newest : middle) : columns.at[row];
    setRange(zoomed(scene, scene.whole, about ?? middle, factor));
  };
  const along = (part: number) => setRange(moved(scene, scene.whole, part * (scene.to - scene.from)));
  const flip = (name: string) => {
    const next = new Set(hidden);
    if (!next.delete(name)) next.add(name);
    setHidden(next);
  };
  const isWhole = range === 'whole';
  const standsStill = range !== 'whole' && !('lastMs' in range);
  return (
    <section class="curve" aria-labelledby="curve-title">
      <div class="curve-head">
        <h2 id="curve-title">{CURVE.title}</h2>
        <div class="choices">
          {CHOICES.map(({ lastMs, words, label }) => (
            <button
              key={words}
              type="button"
              class="press choice"
              aria-label={label}
              aria-pressed={
                lastMs === null ? isWhole : !isWhole && 'lastMs' in range && range.lastMs === lastMs
              }
              onClick={() => setRange(lastMs === null ? 'whole' : { lastMs })}
            >
              {words}
            </button>
          ))}
        </div>
      </div>
      {rows === 0 ? (
        <p class="curve-empty">{CURVE.empty}</p>
      ) : (
        <>
          <p id={wholeId} hidden>
            {spokenFiring(moment, columns, unit)}
          </p>
          <CurveHost
            describedBy={wholeId}
            scene={scene}
            row={row}
            rows={rows}
            words={inWords(shown)}
            onRead={setRow}
            onLook={setRange}
            onCloser={closer}
            onAlong={along}
          />
          <fieldset class="curve-moves" aria-label={CURVE.moves}>
            <button type="button" class="press choice" disabled={isWhole} onClick={() => along(-STEP_PART)}>
              {CURVE.earlier}
            </button>
            <button type="button" class="press choice" onClick={() => closer(CLOSER)}>
              {CURVE.closer}
            </button>
            <button type="button" class="press choice" disabled={isWhole} onClick={() => closer(1 / CLOSER)}>
              {CURVE.wider}
            </button>
            <button
              type="button"
              class="press choice"
              disabled={!standsStill}
              onClick={() => along(STEP_PART)}
            >
              {CURVE.later}
            </button>
          </fieldset>
          <div class="curve-reading">
            <p class="quiet">{row === null ? `${SAY.newest}, ${shown.when}` : shown.when}</p>
            <ul>
              {shown.values.map(({ name, words }, index) => (
                <li key={name}>
                  <button
                    type="button"
                    class={`line-press ${hidden.has(name) ? 'is-off' : ''}`}
                    aria-pressed={!hidden.has(name)}
                    aria-label={CURVE.lineSwitch(
                      name,
                      hidden.has(name) ? CURVE.off : words,
                      hidden.has(name),
                    )}
                    onClick={() => flip(name)}
                  >
                    <LineSample index={index - 1} /> {name}{' '}
                    <strong class="nowrap">{hidden.has(name) ? CURVE.off : words}</strong>
                  </button>
                </li>
              ))}
            </ul>
            {row !== null && <UnderLine scene={scene} at={columns.at[row] ?? moment.now} moment={moment} />}
          </div>
        </>
      )}
      <MarkLegend />
      <p class="quiet">
        {CURVE.help} {CURVE.climbHelp}
      </p>
    </section>
  );
}
