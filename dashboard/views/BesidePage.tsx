/** Firings beside each other: in words first, then their curves, then figure by figure. */
import { useState } from 'preact/hooks';
import { FIGURES, figureOf } from '../../collector/core/firing-facts/figures.ts';
import { MINUTE_MS, type TemperatureUnit } from '../../protocol/units.ts';
import { fetchFacts, fetchFiring, fetchFirings } from '../fetch-past.ts';
import { type Beside, namesApart } from '../learn/beside.ts';
import { apartWords, heatWords, hourWords, sayFigure } from '../learn/say-apart.ts';
import { type Reads, useReads } from '../learn/use-reads.ts';
import { sayIn, sayTemp } from '../say.ts';
import { LEARN, SAY } from '../words.ts';
import { BesideCurves } from './BesideCurves.tsx';
import { useFetched } from './use-fetched.ts';

/** Two rows a pixel of a phone's panel. */
const WIDTH = 1200;
const HEAT_STEP_C = 5;

async function fetchAll(ids: readonly string[]): Promise<Beside[] | null> {
  const all = await Promise.all(
    ids.map(async (id) => {
      const [record, answer] = await Promise.all([fetchFiring(id, WIDTH), fetchFacts(id)]);
      return record && answer && { record, answer };
    }),
  );
  return all.every((each) => each !== null) ? all : null;
}

export function BesidePage({ ids, unit }: { ids: readonly string[]; unit: TemperatureUnit }) {
  const [fetched, again] = useFetched(() => fetchAll(ids), ids.join('/'));
  return (
    <section class="beside" aria-labelledby="beside-title">
      <div class="way-back">
        <a class="press" href="#/past">
          {SAY.backToList}
        </a>
      </div>
      <h2 id="beside-title">{LEARN.title}</h2>
      {fetched.state === 'loading' && <p>{LEARN.loading}</p>}
      {fetched.state === 'failed' && (
        <p>
          {LEARN.failed}{' '}
          <button type="button" class="press plain" onClick={again}>
            {SAY.tryAgain}
          </button>
        </p>
      )}
      {fetched.state === 'here' && fetched.what.length > 1 && <Laid all={fetched.what} unit={unit} />}
      <Others ids={ids} />
    </section>
  );
}

/** It burns, and is not closed yet. */
function isBurning({ record, answer }: Beside): boolean {
  return record.firing.running && answer.facts.closedAt === null;
}

/** Where the words begin: the heat that a burning firing has come to, else the salting heat of the first that has one. */
function firstHeat(all: readonly Beside[]): number {
  const [one] = all;
  const tops = all.map(({ answer }) => answer.facts.wayUp.tempC.at(-1) ?? 0);
  const common = Math.min(...tops);
  if (one && isBurning(one)) return common;
  const salting = all.find(({ record }) => record.firstPlan.saltingStartC !== null);
  return Math.min(common, salting?.record.firstPlan.saltingStartC ?? common);
}

/** A moment is told in whole minutes: then it is the same one whenever it is told the same. */
const wholeMinutes = (ms: number) => Math.max(0, Math.floor(ms / MINUTE_MS) * MINUTE_MS);

function Laid({ all, unit }: { all: readonly Beside[]; unit: TemperatureUnit }) {
  const [one, ...others] = all;
  const tops = all.map(({ answer }) => answer.facts.wayUp.tempC.at(-1) ?? 0);
  const [heatC, setHeatC] = useState(Math.floor(firstHeat(all) / HEAT_STEP_C) * HEAT_STEP_C);
  const wayUp = one?.answer.facts.wayUp;
  const [readMs, setReadMs] = useState(
    wholeMinutes(wayUp?.afterMs[wayUp.tempC.findLastIndex((tempC) => tempC <= heatC)] ?? 0),
  );
  const reads = useReads(all, readMs);
  const nameOf = namesApart(all.map(({ record }) => record.firing));
  if (!one) return null;
  return (
    <>
      <label class="field wide">
        <span>
          {LEARN.heatHelp}: {sayTemp(heatC, unit)}
        </span>
        <input
          type="range"
          min={50}
          max={Math.max(50, Math.min(...tops))}
          step={HEAT_STEP_C}
          value={heatC}
          aria-valuetext={sayTemp(heatC, unit)}
          onInput={(event) => setHeatC(Number(event.currentTarget.value))}
        />
      </label>
      <div class="in-words-pairs">
        {others.map((other) => (
          <InWords
            key={other.record.firing.id}
            one={one}
            other={other}
            heatC={heatC}
            readMs={readMs}
            reads={reads}
            nameOf={nameOf}
            unit={unit}
          />
        ))}
      </div>
      <BesideCurves all={all} unit={unit} readMs={readMs} reads={reads} nameOf={nameOf} onRead={setReadMs} />
      <SideBySide all={all} nameOf={nameOf} unit={unit} />
    </>
  );
}

interface InWordsProps {
  one: Beside;
  other: Beside;
  heatC: number;
  readMs: number;
  reads: Reads;
  nameOf(id: string): string;
  unit: TemperatureUnit;
}

function InWords({ one, other, heatC, readMs, reads, nameOf, unit }: InWordsProps) {
  const name = nameOf(other.record.firing.id);
  const burning = [one, other].find(isBurning);
  const { differs, same } = apartWords(one.answer, other.answer, unit, burning !== undefined);
  const [first, ...more] = heatWords(one.answer.facts, other.answer.facts, name, heatC, unit);
  return (
    <section class="in-words">
      <h3>{LEARN.beside(nameOf(one.record.firing.id), name)}</h3>
      <p class="in-words-first">
        {LEARN.atHeat(sayTemp(heatC, unit))}: {first}
      </p>
      {more.map((text) => (
        <p key={text}>{text}</p>
      ))}
      <p>
        {LEARN.atHour(sayIn(readMs))}:{' '}
        {hourWords(reads.get(one.record.firing.id), reads.get(other.record.firing.id), name, unit)}
      </p>
      <ul>
        {differs.map((text) => (
          <li key={text}>{text}</li>
        ))}
      </ul>
      {same.length > 0 && <p class="quiet">{LEARN.sameIn(same.join(', '))}</p>}
      {burning && <p class="quiet">{LEARN.notClosed(nameOf(burning.record.firing.id))}</p>}
    </section>
  );
}

function SideBySide({
  all,
  nameOf,
  unit,
}: Pick<InWordsProps, 'nameOf' | 'unit'> & { all: readonly Beside[] }) {
  const known = FIGURES.filter((name) => all.some(({ answer }) => figureOf(answer.facts, name) !== null));
  const counted = all.some(({ answer }) => answer.yield !== null);
  return (
    <section>
      <h3>{LEARN.sideBySide}</h3>
      <table class="side-by-side">
        <thead>
          <tr>
            <td />
            {all.map(({ record }) => (
              <th key={record.firing.id} scope="col" class="side-name">
                {nameOf(record.firing.id)}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {counted && (
            <tr>
              <th scope="row" class="side-name">
                {LEARN.share100}
              </th>
              {all.map(({ record, answer }) => (
                <td key={record.firing.id}>
                  {answer.yield === null ? LEARN.notKnown : LEARN.share(Math.round(100 * answer.yield.share))}
                </td>
              ))}
            </tr>
          )}
          {known.map((name) => (
            <tr key={name}>
              <th scope="row" class="side-name">
                {LEARN.figures[name]}
              </th>
              {all.map(({ record, answer }) => {
                const value = figureOf(answer.facts, name);
                return (
                  <td key={record.firing.id}>
                    {value === null ? LEARN.notKnown : sayFigure(name, value, answer.facts, unit)}
                  </td>
                );
              })}
            </tr>
          ))}
          {all.some(({ answer }) => answer.facts.weather.length > 0) && (
            <tr>
              <th scope="row" class="side-name">
                {LEARN.weather}
              </th>
              {all.map(({ record, answer }) => (
                <td key={record.firing.id}>{answer.facts.weather.join(' ') || LEARN.notKnown}</td>
              ))}
            </tr>
          )}
        </tbody>
      </table>
    </section>
  );
}

/** More than this no panel can be read. */
const MOST = 6;

/** Which other firing is to be laid beside these. */
function Others({ ids }: { ids: readonly string[] }) {
  const [fetched] = useFetched(fetchFirings, 'list');
  if (fetched.state !== 'here' || ids.length >= MOST) return null;
  const nameOf = namesApart(fetched.what);
  const others = fetched.what.filter(({ id }) => !ids.includes(id));
  if (others.length === 0) return ids.length > 1 ? null : <p>{LEARN.noOther}</p>;
  return (
    <section>
      <h3>{ids.length > 1 ? LEARN.more : LEARN.pick}</h3>
      <ul class="past-list">
        {others.map(({ id }) => (
          <li key={id}>
            <a class="press" href={`#/compare/${[...ids, id].map(encodeURIComponent).join('/')}`}>
              {nameOf(id)}
            </a>
          </li>
        ))}
      </ul>
    </section>
  );
}
