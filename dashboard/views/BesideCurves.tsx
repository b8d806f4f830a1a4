/** The curves of firings beside each other: small panels one above another, one reading line through all. */
import { useEffect, useLayoutEffect, useRef, useState } from 'preact/hooks';
import type { TemperatureUnit } from '../../protocol/units.ts';
import { type BesidePlot, type BesideScene, besidePlot } from '../curve/beside-plot.ts';
import { type Beside, type Read, type Scales, sharedScales } from '../learn/beside.ts';
import type { Reads } from '../learn/use-reads.ts';
import { sayClimb, sayIn, sayTemp } from '../say.ts';
import { LEARN, STAGE_WORDS } from '../words.ts';

interface Props {
  all: readonly Beside[];
  unit: TemperatureUnit;
  /** Ms since light-up. */
  readMs: number;
  reads: Reads;
  nameOf(id: string): string;
  onRead(ms: number): void;
}

export function BesideCurves({ all, unit, readMs, reads, nameOf, onRead }: Props) {
  const [whole, setWhole] = useState(false);
  const scales = sharedScales(all, whole);
  const lit = all.filter(({ answer }) => answer.facts.litAt !== null);
  return (
    <section class="beside-curves" aria-labelledby="beside-curves">
      <h3 id="beside-curves">{LEARN.curves}</h3>
      <fieldset class="group">
        <legend class="unseen">{LEARN.stretch}</legend>
        <div class="group-row">
          {[false, true].map((each) => (
            <button
              key={String(each)}
              type="button"
              class="press choice"
              aria-pressed={whole === each}
              onClick={() => setWhole(each)}
            >
              {each ? LEARN.whole : LEARN.burning}
            </button>
          ))}
        </div>
      </fieldset>
      <label class="field wide">
        <span>
          {LEARN.afterLighting}: {sayIn(readMs)}
        </span>
        <input
          type="range"
          min={0}
          max={Math.ceil(scales.toMs / 60_000) * 60_000}
          step={60_000}
          value={readMs}
          aria-valuetext={sayIn(readMs)}
          onInput={(event) => onRead(Number(event.currentTarget.value))}
        />
      </label>
      {lit.map((beside, index) => (
        <Panel
          key={beside.record.firing.id}
          beside={beside}
          name={nameOf(beside.record.firing.id)}
          read={reads.get(beside.record.firing.id)}
          scales={scales}
          unit={unit}
          readMs={readMs}
          last={index === lit.length - 1}
          onRead={onRead}
        />
      ))}
      <p class="quiet">{LEARN.marks}</p>
      {all
        .filter((beside) => !lit.includes(beside))
        .map(({ record }) => (
          <p key={record.firing.id}>{LEARN.notLitYet(nameOf(record.firing.id))}</p>
        ))}
    </section>
  );
}

interface PanelProps {
  beside: Beside;
  name: string;
  /** Left out while it is fetched. */
  read: Read | null | undefined;
  scales: Scales;
  unit: TemperatureUnit;
  readMs: number;
  last: boolean;
  onRead(ms: number): void;
}

function Panel({ beside, name, read, scales, unit, readMs, last, onRead }: PanelProps) {
  const host = useRef<HTMLDivElement>(null);
  const plot = useRef<BesidePlot | null>(null);
  const { record, answer } = beside;
  const litAt = answer.facts.litAt ?? 0;
  const timesOf = (word: string) =>
    record.log.flatMap(({ log, undone, at }) => (log === word && !undone ? [at] : []));
  const scene: BesideScene = {
    curve: record.curve,
    litAt,
    stages: record.stages,
    stokes: timesOf('stoke'),
    salts: timesOf('salt'),
    unit,
    ...scales,
    readMs,
    last,
  };
  const latest = useRef({ scene, onRead });
  latest.current = { scene, onRead };
  useEffect(() => {
    if (!host.current) return;
    const made = besidePlot(host.current, latest.current.scene, (ms) =>
      latest.current.onRead(Math.max(0, Math.round(ms / 60_000) * 60_000)),
    );
    plot.current = made;
    return () => {
      plot.current = null;
      made.destroy();
    };
  }, []);
  useLayoutEffect(() => plot.current?.show(latest.current.scene));
  return (
    <div class={last ? 'beside-panel is-last' : 'beside-panel'}>
      <p class="beside-reads">{readWords(record, name, read, litAt + readMs, readMs, unit)}</p>
      <div ref={host} class="beside-host" role="img" aria-label={LEARN.curveOf(name)} />
    </div>
  );
}

function readWords(
  { stages }: Beside['record'],
  name: string,
  read: Read | null | undefined,
  atMs: number,
  readMs: number,
  unit: TemperatureUnit,
): string {
  if (read === null) return LEARN.noReading(name, sayIn(readMs));
  const climb = read?.climbCPerH ?? null;
  const stage = stages.findLast(({ from }) => from <= atMs)?.stage ?? 'before';
  return LEARN.reads(
    name,
    sayIn(readMs),
    read === undefined ? '…' : sayTemp(read.kilnC, unit),
    climb === null ? '' : `, ${sayClimb(climb, unit)}`,
    STAGE_WORDS[stage],
  );
}
