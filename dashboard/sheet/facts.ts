/** What a firing comes to on paper, in figures: stages against the plan, what was seen, what called. Pure. */
import { type SaltCount, saltCount } from '../../collector/core/salting-facts.ts';
import type { ActiveAlert, Curve, LoggedEntry, RecordedFiring } from '../../protocol/firing-record.ts';
import type { Plan } from '../../protocol/plan.ts';
import { presentPlan } from '../../protocol/plan-in-log.ts';
import type { Stage } from '../../protocol/stages.ts';
import { HOUR_MS } from '../../protocol/units.ts';
import { countUpTo } from '../curve/columns.ts';
import { countingEntries, litAt } from '../firing.ts';
import { chargesIn, ringsIn } from '../salt.ts';

/** From least to most. */
export interface Range {
  low: number;
  high: number;
}

/** One stage as it was, and what the plan had to say of the climb in it; °C, °C/h. Null: not known, or not planned. */
export interface StageFacts {
  stage: Stage;
  from: number;
  to: number;
  fromC: number | null;
  toC: number | null;
  climb: { least: number; mean: number; most: number } | null;
  target: Range | null;
  /** What the plan allows at most: of climbing, or in cooling of falling. */
  limit: Range | null;
}

export interface SheetAlert {
  /** Counted from 1: by this number the curve and the list name it. */
  number: number;
  alert: ActiveAlert;
  clearedAt: number | null;
}

export interface SheetFacts {
  plan: Plan;
  lit: number | null;
  from: number;
  to: number;
  /** When the kiln was closed, or the last stage that burnt ended; null while it burns. */
  closedAt: number | null;
  top: { tempC: number; at: number } | null;
  stages: StageFacts[];
  stokes: { at: number; hole: 'left' | 'right' | null; kg: number | null }[];
  charges: { at: number; hole: 'left' | 'right' }[];
  salt: SaltCount;
  draws: LoggedEntry[];
  conesSeen: LoggedEntry[];
  /** What was done to the fire, and how it looked. */
  tending: LoggedEntry[];
  alerts: SheetAlert[];
  notes: LoggedEntry[];
}

const BURNT_OUT: readonly Stage[] = ['cooling', 'open'];
const NOTES = new Set(['note', 'weather', 'pulled', 'put-back']);
const TENDING = new Set(['damper', 'atmosphere', 'hold']);
/** What these said was of use in its time, and tells nothing of the firing. */
const OF_ITS_TIME = new Set<string>(['salting-soon', 'phone-silent', 'archive-trouble']);
/** A stretch shorter than this has no climb worth a figure. Our own choice. */
const LEAST_CLIMB_MS = 10 * 60_000;

/** All that the sheet says of a firing; null where nothing was recorded. */
export function sheetFacts(record: RecordedFiring): SheetFacts | null {
  const { curve } = record;
  const log = countingEntries(record.log);
  const times = [...curve.at.slice(0, 1), ...curve.at.slice(-1), ...log.map(({ at }) => at)];
  if (times.length === 0) return null;
  const plan = presentPlan(record.firstPlan, record.log);
  const [from, to] = [Math.min(...times), Math.max(...times)];
  const charges = chargesIn(log);
  const closed = record.stages.find(({ stage }) => BURNT_OUT.includes(stage));
  return {
    plan,
    lit: litAt(record),
    from,
    to,
    closedAt: closed?.from ?? null,
    top: topOf(curve),
    stages: stagesOf(record, plan, to),
    stokes: log.flatMap(({ log: word, at, json }) =>
      word === 'stoke'
        ? [{ at, hole: holeOf(json.hole), kg: typeof json.kg === 'number' ? json.kg : null }]
        : [],
    ),
    charges,
    salt: saltCount(charges, ringsIn(log), plan, to),
    draws: log.filter(({ log: word }) => word === 'draw'),
    conesSeen: log.filter(({ log: word }) => word === 'cone-bending' || word === 'cone-down'),
    alerts: record.alerts
      .filter(({ alert }) => alert.priority !== 'note' && !OF_ITS_TIME.has(alert.name))
      .sort((a, b) => a.alert.raisedAt - b.alert.raisedAt)
      .map(({ alert, clearedAt }, index) => ({ number: index + 1, alert, clearedAt })),
    tending: log.filter(({ log: word }) => TENDING.has(word)),
    notes: log.filter(({ log: word }) => NOTES.has(word)),
  };
}

/** The cones seen at one place, in order; one that bent only, where it was not seen down. */
export interface ConesAtPlace {
  place: string;
  cones: { cone: string; down: boolean; at: number }[];
}

/** By place, as the entries have it; '' where they name none. */
export function conesByPlace({ conesSeen }: SheetFacts): ConesAtPlace[] {
  const places = new Map<string, ConesAtPlace['cones']>();
  for (const { at, log, json } of conesSeen) {
    const [place, cone] = [textOf(json.probe), textOf(json.cone)];
    const known = places.get(place) ?? [];
    const down = log === 'cone-down';
    const kept = down ? known.filter((one) => one.down || one.cone !== cone) : known;
    places.set(place, [...kept, { cone, down, at }]);
  }
  return [...places].map(([place, cones]) => ({ place, cones }));
}

const textOf = (value: unknown) => (typeof value === 'string' ? value : '');

const holeOf = (hole: unknown) => (hole === 'left' || hole === 'right' ? hole : null);

function topOf({ at, kiln }: Curve): SheetFacts['top'] {
  let top: SheetFacts['top'] = null;
  kiln.forEach((tempC, row) => {
    if (tempC !== null && (top === null || tempC > top.tempC)) top = { tempC, at: at[row] ?? 0 };
  });
  return top;
}

function stagesOf({ stages, curve }: RecordedFiring, plan: Plan, end: number): StageFacts[] {
  const all = stages.map(({ stage, from }, index) => {
    const to = Math.max(from, stages[index + 1]?.from ?? end);
    const rows = { first: countUpTo(curve.at, from - 1), end: countUpTo(curve.at, to) };
    const levels = known(curve.kiln, rows);
    const fromC = levels[0]?.value ?? null;
    const toC = levels.at(-1)?.value ?? null;
    return {
      stage,
      from,
      to,
      fromC,
      toC,
      climb: climbOf(curve, rows),
      ...planned(plan, stage, fromC, toC),
    };
  });
  // Before it is lit and once it is open nothing is fired.
  return all.filter(({ stage }) => stage !== 'before' && stage !== 'open');
}

function known(column: readonly (number | null)[], { first, end }: { first: number; end: number }) {
  const found: { row: number; value: number }[] = [];
  for (let row = first; row < end; row += 1) {
    const value = column[row];
    if (typeof value === 'number') found.push({ row, value });
  }
  return found;
}

/** The mean is what the heat gained, over the time that it took: the smoothed climb's own mean would lag behind. */
function climbOf(curve: Curve, rows: { first: number; end: number }): StageFacts['climb'] {
  const levels = known(curve.kiln, rows);
  const climbs = known(curve.kilnClimbCPerH, rows).map(({ value }) => value);
  const [first, last] = [levels[0], levels.at(-1)];
  if (!first || !last || climbs.length === 0) return null;
  const tookMs = (curve.at[last.row] ?? 0) - (curve.at[first.row] ?? 0);
  if (tookMs < LEAST_CLIMB_MS) return null;
  return {
    least: climbs.reduce((a, b) => Math.min(a, b)),
    mean: ((last.value - first.value) / tookMs) * HOUR_MS,
    most: climbs.reduce((a, b) => Math.max(a, b)),
  };
}

const rangeOf = (values: readonly number[]): Range | null =>
  values.length === 0 ? null : { low: Math.min(...values), high: Math.max(...values) };

/** The plan's figures for the heats that a stage went through. */
function planned(
  plan: Plan,
  stage: Stage,
  fromC: number | null,
  toC: number | null,
): Pick<StageFacts, 'target' | 'limit'> {
  if (fromC === null || toC === null) return { target: null, limit: null };
  const [low, high] = [Math.min(fromC, toC), Math.max(fromC, toC)];
  if (stage === 'candling' || stage === 'climbing') {
    const target = upTo(plan.climbTargets, low, high).map(({ climbCPerH }) => climbCPerH);
    const limit = upTo(plan.climbLimits, low, high).map(({ maxCPerH }) => maxCPerH);
    return { target: rangeOf(target), limit: rangeOf(limit) };
  }
  if (stage === 'cooling')
    return {
      target: null,
      limit: rangeOf(
        plan.coolingBands
          .filter((band) => band.toC <= high && band.fromC >= low)
          .map(({ maxCPerH }) => maxCPerH),
      ),
    };
  return { target: null, limit: null };
}

/** Steps that each hold up to a heat: those that hold somewhere between two heats, °C. */
function upTo<Step extends { toC: number }>(steps: readonly Step[], low: number, high: number): Step[] {
  const rising = [...steps].sort((a, b) => a.toC - b.toC);
  return rising.filter(({ toC }, index) => toC > low && (rising[index - 1]?.toC ?? -Infinity) < high);
}
