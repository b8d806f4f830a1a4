/** The sheet itself: what a potter wants to find on the wall a year later. */
import type { ComponentChildren } from 'preact';
import type { LoggedEntry, RecordedFiring } from '../../protocol/firing-record.ts';
import type { Results } from '../../protocol/results.ts';
import type { TemperatureUnit } from '../../protocol/units.ts';
import { entryWords } from '../log-words.ts';
import {
  inOneUnit,
  sayClimb,
  sayDate,
  sayPlace,
  sayShort,
  sayTemp,
  sayWeight,
  sayWhen,
  unitSign,
} from '../say.ts';
import { CurveDrawing } from '../sheet/CurveDrawing.tsx';
import {
  type ConesAtPlace,
  conesByPlace,
  type SheetFacts,
  type StageFacts,
  sheetFacts,
} from '../sheet/facts.ts';
import type { Paper } from '../sheet/paper.ts';
import { SAY, SHEET, STAGE_WORDS } from '../words.ts';
import { SheetPlaces } from './SheetPlaces.tsx';

export interface SheetProps {
  record: RecordedFiring;
  results: Results | null;
  unit: TemperatureUnit;
  paper: Paper;
  madeAt: number;
}

/** What a list holds at most, so that the sheet stays two pages. */
const MOST = { places: 5, draws: 5, tending: 12, alerts: 7, notes: 7 };

export function Sheet({ record, results, unit, paper, madeAt }: SheetProps) {
  const facts = sheetFacts(record);
  if (facts === null) return <p id="sheet-title">{SAY.nothingRecorded}</p>;
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: on a phone it scrolls, and what scrolls is to be reached by keys.
    <article class={`sheet paper-${paper}`} tabIndex={0} aria-labelledby="sheet-title">
      <Head record={record} facts={facts} unit={unit} />
      <CurveDrawing record={record} facts={facts} unit={unit} />
      <p class="sheet-small">{SHEET.legend}</p>
      <Stages facts={facts} unit={unit} />
      <SheetPlaces plan={facts.plan} rows={results?.rows ?? []} />
      <div class="sheet-columns">
        <HeatWork record={record} facts={facts} />
        {partsOf(facts, unit).map(({ title, lines }) =>
          lines.length === 0 ? null : (
            <Part key={title} title={title}>
              <ul>
                {lines.map((line) => (
                  <li key={line}>{line}</li>
                ))}
              </ul>
            </Part>
          ),
        )}
      </div>
      <NotLogged facts={facts} unit={unit} />
      <p class="sheet-footer">{SHEET.footer(`${sayDate(madeAt)}, ${sayWhen(madeAt, madeAt)}`)}</p>
    </article>
  );
}

function Part({ title, children }: { title: string; children: ComponentChildren }) {
  return (
    <section class="sheet-part">
      <h3>{title}</h3>
      {children}
    </section>
  );
}

interface PartLines {
  title: string;
  /** None: nothing of the kind was logged. */
  lines: string[];
}

/** The parts that are lists, in their order. */
function partsOf(facts: SheetFacts, unit: TemperatureUnit): PartLines[] {
  const { to, draws, tending, alerts, notes } = facts;
  const said = ({ log, json }: LoggedEntry) => entryWords(log, json, unit);
  const told = (row: LoggedEntry) => `${sayWhen(row.at, to)}: ${said(row)}`;
  const run = first(
    tending.map((row) => `${sayWhen(row.at, to)} ${said(row)}`),
    MOST.tending,
  );
  const calls = first(
    alerts.map((alert) => alertWords(alert, facts, unit)),
    MOST.alerts,
  );
  const cones = conesByPlace(facts).map(
    ({ place, cones }) =>
      `${place === '' ? '' : `${place}: `}${newest(cones.map(coneWords(facts))).join(', ')}`,
  );
  return [
    { title: SHEET.wood, lines: woodLines(facts, unit) },
    { title: SHEET.salt, lines: saltLines(facts, unit) },
    { title: SHEET.conesSeen, lines: first(cones, MOST.places, (line) => line) },
    { title: SHEET.draws, lines: first(draws.map(told), MOST.draws) },
    { title: SHEET.tending, lines: run.length === 0 ? [] : [run.join('; ')] },
    { title: SHEET.alerts, lines: calls.length === 0 ? [SHEET.noAlerts] : calls },
    { title: SHEET.notes, lines: first(notes.map(told), MOST.notes) },
  ];
}

/** The first of them, and how many more the log book has. */
function first(lines: readonly string[], most: number, cut = cutShort): string[] {
  const kept = lines.slice(0, most).map(cut);
  return lines.length > most ? [...kept, SHEET.moreInBook(lines.length - most)] : kept;
}

/** What is longer than this stands whole in the log book. */
const MOST_LETTERS = 90;
const cutShort = (line: string) => (line.length > MOST_LETTERS ? `${line.slice(0, MOST_LETTERS)}…` : line);

/** The last cones say the most: of more than these the log book has the rest. */
const MOST_CONES = 6;
const newest = (cones: readonly string[]) =>
  cones.length > MOST_CONES ? ['…', ...cones.slice(-MOST_CONES)] : cones;

function NotLogged({ facts, unit }: { facts: SheetFacts; unit: TemperatureUnit }) {
  const missing = partsOf(facts, unit).filter(({ lines }) => lines.length === 0);
  if (missing.length === 0) return null;
  return <p class="sheet-part">{SHEET.notLogged(missing.map(({ title }) => title).join(', '))}</p>;
}

const coneWords =
  ({ to }: SheetFacts) =>
  ({ cone, down, at }: ConesAtPlace['cones'][number]) =>
    (down ? SHEET.coneDown : SHEET.coneBending)(cone, sayWhen(at, to));

function Head({ record, facts, unit }: Pick<SheetProps, 'record' | 'unit'> & { facts: SheetFacts }) {
  const { lit, from, to, closedAt, top, plan } = facts;
  const opened = record.stages.find(({ stage }) => stage === 'open')?.from ?? null;
  const begun = lit ?? from;
  const end = opened ?? to;
  // With the weekday, unless all of it was on one day.
  const when = (at: number) => sayWhen(at, sayDate(begun) === sayDate(end) ? at : 0);
  const items: [string, string | null][] = [
    [lit === null ? SHEET.began : SHEET.lit, when(begun)],
    [SHEET.closed, closedAt === null ? null : when(closedAt)],
    [opened === null ? SHEET.ended : SHEET.opened, when(end)],
    [SHEET.burnt, closedAt === null ? null : sayShort(closedAt - begun)],
    [SHEET.top, top === null ? null : SHEET.topAt(sayTemp(top.tempC, unit), when(top.at))],
    [SHEET.firingCone, SAY.coneOf(plan.firingCone)],
  ];
  return (
    <header class="sheet-head">
      <div class="sheet-title">
        <h2 id="sheet-title">{record.firing.name}</h2>
        <p>{SHEET.dates(sayDate(begun), sayDate(end))}</p>
      </div>
      <dl>
        {items.map(([name, words]) =>
          words === null ? null : (
            <div key={name}>
              <dt>{name}</dt>
              <dd>{words}</dd>
            </div>
          ),
        )}
      </dl>
    </header>
  );
}

/** A climb's figure alone: the head of the column says the unit. */
const climbFigure = (climbCPerH: number, unit: TemperatureUnit) =>
  sayClimb(climbCPerH, unit).split('\u00a0')[0];

function Stages({ facts, unit }: { facts: SheetFacts; unit: TemperatureUnit }) {
  const size = (one: number) => climbFigure(one, unit)?.replace('+', '') ?? '';
  const range = (planned: StageFacts['target']) => {
    if (planned === null) return '';
    const [low, high] = [size(planned.low), size(planned.high)];
    return low === high ? low : SHEET.range(low, high);
  };
  return (
    <section class="sheet-part">
      <h3>{SHEET.stages}</h3>
      <table>
        <thead>
          <tr>
            <th rowSpan={2}>{SHEET.stage}</th>
            <th rowSpan={2}>{SHEET.from}</th>
            <th rowSpan={2} class="figure-cell">
              {SHEET.hours}
            </th>
            <th rowSpan={2} class="figure-cell">
              {SHEET.heat}
            </th>
            <th colSpan={5} scope="colgroup" class="figure-cell">
              {SHEET.climb(unitSign(unit))}
            </th>
          </tr>
          <tr>
            {[SHEET.least, SHEET.mean, SHEET.most, SHEET.target, SHEET.limit].map((name) => (
              <th key={name} class="figure-cell">
                {name}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {facts.stages.map((row) => (
            <tr key={row.from}>
              <th scope="row">{STAGE_WORDS[row.stage]}</th>
              <td>{sayWhen(row.from, facts.to)}</td>
              <td class="figure-cell">{sayShort(row.to - row.from)}</td>
              <td class="figure-cell">
                {row.fromC !== null &&
                  row.toC !== null &&
                  SHEET.range(sayTemp(row.fromC, unit).split('\u00a0')[0] ?? '', sayTemp(row.toC, unit))}
              </td>
              <td class="figure-cell">{row.climb && climbFigure(row.climb.least, unit)}</td>
              <td class="figure-cell">{row.climb && climbFigure(row.climb.mean, unit)}</td>
              <td class="figure-cell">{row.climb && climbFigure(row.climb.most, unit)}</td>
              <td class="figure-cell">{range(row.target)}</td>
              <td class="figure-cell">{range(row.limit)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

function HeatWork({ record, facts }: { record: RecordedFiring; facts: SheetFacts }) {
  const cones = record.cones ?? [];
  return (
    <Part title={SHEET.heatWork}>
      {cones.length === 0 ? (
        <p>{SHEET.noCones}</p>
      ) : (
        <>
          <ul class="sheet-pairs">
            {cones.map(({ probe, cone }) => (
              <li key={probe}>
                {probe} <strong>{SAY.coneOf(cone)}</strong>
              </li>
            ))}
          </ul>
          <p class="sheet-small">{SHEET.byHeatWork}</p>
        </>
      )}
      {facts.plan.conePacks.length > 0 && (
        <ul>
          {facts.plan.conePacks.map(({ place, guide, firing, guard }) => (
            <li key={place}>
              {SHEET.packs} {SHEET.pack(sayPlace(place), guide, firing, guard)}
            </li>
          ))}
        </ul>
      )}
    </Part>
  );
}

function woodLines({ stokes, plan }: SheetFacts, unit: TemperatureUnit): string[] {
  const by = (hole: 'left' | 'right') => stokes.filter((stoke) => stoke.hole === hole).length;
  const kg = stokes.reduce((sum, stoke) => sum + (stoke.kg ?? 0), 0);
  const { stack } = plan.wood;
  return [
    ...(stokes.length === 0 ? [] : [SHEET.stokes(by('left'), by('right'))]),
    ...(kg === 0 ? [] : [SHEET.weighed(sayWeight(kg, unit))]),
    ...(stack === null ? [] : [SHEET.stacked(`${stack.amount} ${SHEET.stackUnits[stack.unit]}`)]),
  ];
}

function saltLines({ salt, charges, plan, to }: SheetFacts, unit: TemperatureUnit): string[] {
  const [first, last] = [charges[0], charges.at(-1)];
  if (!first || !last) return [];
  const { left, right } = salt.byHoleKg;
  return [
    SHEET.saltIn(sayWeight(salt.inKg, unit), sayWeight(plan.saltKg, unit)),
    SHEET.charges(salt.charges, sayWeight(left, unit), sayWeight(right, unit)),
    SHEET.saltFrom(sayWhen(first.at, to), sayWhen(last.at, to)),
  ];
}

/** The first sentence says what was so; what to do about it was said in its time. */
function alertWords(
  { number, alert, clearedAt }: SheetFacts['alerts'][number],
  { to }: SheetFacts,
  unit: TemperatureUnit,
) {
  const [what = ''] = /^.+?[.!?](?=\s|$)/.exec(inOneUnit(alert.raisedText ?? alert.text, unit)) ?? [];
  const from = sayWhen(alert.raisedAt, to);
  const span =
    clearedAt === null ? SHEET.standing(from) : SHEET.until(from, sayWhen(clearedAt, alert.raisedAt));
  return `${number}. ${span}: ${what}`;
}
