/**
 * The figures of a firing that can be laid beside another's. Pure: from its course, its stages, its alerts and its log
 * book, of a firing that burns as of one that is long over.
 */
import type { AlertName } from '../../../protocol/alert-names.ts';
import { parseCone } from '../../../protocol/cones.ts';
import type { FiringFacts } from '../../../protocol/firing-facts.ts';
import type { Plan } from '../../../protocol/plan.ts';
import { isBurning, type Stage } from '../../../protocol/stages.ts';
import { MINUTE_MS } from '../../../protocol/units.ts';
import { usualStokeKg, weighedKg } from '../fuel.ts';
import { kgPerFaceCord } from '../fuel-table.ts';
import { factsOf, type LogBook } from '../log-book.ts';
import type { Stoke } from '../stoking.ts';
import { type Course, firstAt, SILENT_MS } from './course.ts';

/** Stalls that are so near to one another are one: as the score counts them. */
const ONE_STALL_MS = 20 * MINUTE_MS;
/** Steps of the way up: what is between them is told by the one below. */
const WAY_STEP_C = 5;

export interface FactsOf {
  course: Course;
  /** The kiln's highest level, °C. */
  topC: number | null;
  stages: readonly { from: number; stage: Stage }[];
  /** Alerts as they were raised and cleared, oldest first. */
  alerts: readonly { name: AlertName; raisedAt: number; clearedAt: number | null }[];
  book: LogBook;
  /** The plan that stands. */
  plan: Plan;
  /** The last that is known of it, epoch ms: an alert that is still up is counted to here. */
  lastAt: number | null;
}

export function firingFacts(of: FactsOf): FiringFacts {
  const { course, plan, book, topC, lastAt } = of;
  const { salt, stokes, charges } = factsOf(book, plan.chargeG);
  const lit = book.kept.find(({ entry }) => entry.log === 'light-up');
  const litAt = lit?.at ?? of.stages.find(({ stage }) => stage !== 'before')?.from ?? null;
  const closedAt = logged(book, 'clam-up') ?? seenClosed(of.stages);
  const cooled = course.falls.find(({ value }) => value < plan.unbrickC);
  const stalls = spells(of, 'stall');
  return {
    litAt,
    saltingHeatAt: saltingHeatAt(course, plan),
    saltFrom: salt.startedAt,
    saltTo: salt.ended ? logged(book, 'end-salt') : salt.lastAt,
    closedAt,
    cooledAt: cooled?.at ?? null,
    openedAt: logged(book, 'unbricked') ?? of.stages.find(({ stage }) => stage === 'open')?.from ?? null,
    topC,
    places: [...course.places].map(([probe, { topC: placeC, cone, at }]) => {
      const lost = at < Math.min(closedAt ?? Number.POSITIVE_INFINITY, lastAt ?? at) - SILENT_MS;
      return { probe, topC: placeC, cone, lost };
    }),
    woodKg: woodKg(stokes, plan),
    kgPerFaceCord: kgPerFaceCord(plan.wood),
    stokes: stokes.length,
    saltKg: salt.inKg,
    charges: charges.length,
    stalls: stalls.length,
    stallMs: stalls.reduce((sum, { forMs }) => sum + forMs, 0),
    tooFastMs: Math.max(0, ...spells(of, 'climb-too-fast').map(({ forMs }) => forMs)),
    pieces: plan.load.length === 0 ? null : plan.load.reduce((sum, { pieces }) => sum + pieces, 0),
    weather: book.kept.flatMap(({ entry }) => (entry.log === 'weather' ? [entry.note] : [])),
    wayUp: litAt === null ? NO_WAY : wayUp(of, litAt, lastAt),
  };
}

/** The last time that this was logged, and stands; null where it was not. */
function logged(book: LogBook, log: 'end-salt' | 'clam-up' | 'unbricked'): number | null {
  return book.kept.findLast(({ entry }) => entry.log === log)?.at ?? null;
}

/** Where nobody logged it, the kiln was closed when it last went from burning to cooling. */
function seenClosed(stages: FactsOf['stages']): number | null {
  const place = stages.findLastIndex(
    ({ stage }, index) => stage === 'cooling' && isBurning(stages[index - 1]?.stage ?? 'climbing'),
  );
  return stages[place]?.from ?? null;
}

/** By the heat, the cone, or both, as the plan has it. */
function saltingHeatAt({ heats, cones }: Course, { saltingStartC, saltingStartCone }: Plan): number | null {
  const cone = saltingStartCone === null ? null : parseCone(saltingStartCone);
  const times = [
    ...(saltingStartC === null ? [] : [firstAt(heats, saltingStartC)]),
    ...(cone === null ? [] : [firstAt(cones, cone)]),
  ];
  return times.reduce<number | null>(
    (last, each, index) =>
      index === 0 ? each : last === null || each === null ? null : Math.max(last, each),
    null,
  );
}

interface Spell {
  from: number;
  to: number;
  /** How long the alert stood within, ms. */
  forMs: number;
}

/** The times of one alert; those that are near to one another are one. */
function spells({ alerts, lastAt }: FactsOf, name: AlertName): Spell[] {
  const all: Spell[] = [];
  for (const { raisedAt, clearedAt } of alerts.filter((alert) => alert.name === name)) {
    const to = Math.max(raisedAt, clearedAt ?? lastAt ?? raisedAt);
    const before = all.at(-1);
    if (name === 'stall' && before && raisedAt - before.to <= ONE_STALL_MS) {
      before.forMs += to - raisedAt;
      before.to = Math.max(before.to, to);
    } else {
      all.push({ from: raisedAt, to, forMs: to - raisedAt });
    }
  }
  return all;
}

/** Wood in these stokes, kg; null where some were not weighed and none is usual, or nobody logged any. */
function woodKg(stokes: readonly Stoke[], plan: Plan, all = stokes): number | null {
  return all.length === 0 ? null : weighedKg(stokes, usualStokeKg(all, plan.wood));
}

const NO_WAY: FiringFacts['wayUp'] = { tempC: [], afterMs: [], woodKg: [], saltKg: [], stokes: [] };

function wayUp({ course, book, plan }: FactsOf, litAt: number, lastAt: number | null): FiringFacts['wayUp'] {
  const { stokes, charges } = factsOf(book, plan.chargeG);
  const way = structuredClone(NO_WAY);
  const { heats } = course;
  const [first, last] = [heats[0], heats.at(-1)];
  if (!first || !last) return way;
  for (
    let tempC = Math.ceil(first.value / WAY_STEP_C) * WAY_STEP_C;
    tempC <= last.value;
    tempC += WAY_STEP_C
  ) {
    const at = firstAt(heats, tempC) ?? lastAt ?? litAt;
    const before = stokes.filter((stoke) => stoke.at <= at);
    way.tempC.push(tempC);
    way.afterMs.push(at - litAt);
    way.woodKg.push(woodKg(before, plan, stokes));
    way.saltKg.push(
      charges.reduce((sum, charge) => sum + (charge.at <= at ? (charge.g ?? plan.chargeG) / 1000 : 0), 0),
    );
    way.stokes.push(before.length);
  }
  return way;
}
