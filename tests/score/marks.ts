/** One firing's marks: what it missed and what it said falsely, for the tool and for the bare mean beside it. */
import type { ProbeMishap } from '../../collector/demo-kiln/probes.ts';
import type { AlertName } from '../../protocol/alert-names.ts';
import type { Stage } from '../../protocol/stages.ts';
import { type ForecastMark, forecastMarks, HORIZONS_MIN } from './ahead.ts';
import { bareMean } from './bare-mean.ts';
import { goOtherWay, OTHER_WAYS, type OtherWay } from './other-ways.ts';
import {
  type FoundStalls,
  falseRaises,
  findStalls,
  mostWithin,
  type WindowFound,
  windowError,
} from './rules.ts';
import type { Run } from './run.ts';
import { type StokeMarks, stokeMarks } from './stokes.ts';
import { type Truth, truthOf } from './truth.ts';

/** How well one of the two did. */
export interface Marks {
  stalls: FoundStalls;
  /** What was true at each false raise, by the order of `stalls.falseAt`. */
  trueAtFalse: { stage: Stage; climbCPerH: number }[];
  /** Told less true climb, by minute of true climbing; and in how many of its minutes none was told. */
  climbErrors: number[];
  untoldMin: number;
  /** Null where salting heat was never crossed. */
  window: WindowFound | null;
  /** Windows raised more than 60 min before the crossing. */
  earlyWindowAt: number[];
  forecasts: ForecastMark[];
}

export interface MishapMark {
  what: ProbeMishap['what'];
  probe: string;
  sinceMin: number;
  delayMin: number | null;
}

export interface FiringMarks {
  seed: number;
  words: string;
  /** From the first line to the last, from light-up to clam-up, and in true climbing. */
  watchedH: number;
  firingH: number;
  climbingH: number;
  closed: boolean;
  /** Kiln's true mean at the onset of each true stall, °C. */
  stallsAtC: number[];
  crossingAt: number | null;
  /** False calls for a stall: raises, and those that came again once it had eased. */
  falseStallCalls: number;
  tool: Marks;
  bare: Marks;
  /** The climb and the stalls of the other ways. */
  others: { way: OtherWay; marks: Pick<Marks, 'stalls' | 'trueAtFalse' | 'climbErrors' | 'untoldMin'> }[];
  /** In how many of the minutes told the true climb lay within the tool's 90 % interval. */
  coveredMin: number;
  mishaps: MishapMark[];
  falseFaults: { probe: string; at: number }[];
  /** Raised by name, and the most of all but `stoke-due` in any 10 minutes. */
  raised: Partial<Record<AlertName, number>>;
  mostIn10Min: number;
  stokes: StokeMarks;
  /** Every alert but `stoke-due`, in order: minutes since the start. */
  said: { at: number; name: AlertName; state: 'raised' | 'cleared'; probe: string | null }[];
}

/** Falling is a stall too. */
const STALL_NAMES: readonly AlertName[] = ['stall', 'falling'];

/** Two-sided 90 % of the normal distribution. */
const NORMAL_90 = 1.6449;

export function marksOf(run: Run): FiringMarks {
  const truth = truthOf(run);
  const at = (epochMs: number) => (epochMs - run.startMs) / 60_000;
  const raised = run.alerts
    .filter(({ state }) => state === 'raised')
    .map((alert) => ({ ...alert, at: at(alert.at) }));
  const timesOf = (...names: AlertName[]) =>
    raised.filter(({ name }) => names.includes(name)).map((r) => r.at);
  const stallsAgain = run.calledAgain
    .filter(({ standing }) => STALL_NAMES.includes(standing.name))
    .map((again) => at(again.at));
  const bare = bareMean(run.told, run.recipe.saltingStartC);
  const crossing = truth.crossingAt;
  return {
    seed: run.recipe.seed,
    words: run.recipe.words,
    watchedH: run.trueMinutes.length / 60,
    firingH: ((run.closedS ?? run.trueMinutes.length * 60) - (run.litS ?? 0)) / 3600,
    climbingH: truth.minutes.filter(({ stage }) => stage === 'climbing').length / 60,
    closed: run.closedS !== null,
    stallsAtC: truth.stalls.map(({ from }) => truth.minutes[from]?.meanC ?? Number.NaN),
    crossingAt: crossing,
    falseStallCalls: findStalls(truth.stalls, [...timesOf(...STALL_NAMES), ...stallsAgain]).falseAt.length,
    tool: {
      ...stallMarks(truth, timesOf(...STALL_NAMES)),
      ...climbMarks(
        truth,
        run.told.map((told) => told?.climbCPerH ?? null),
      ),
      ...windowMarks(crossing, timesOf('salting-window')),
      forecasts: forecastMarks(run, crossing),
    },
    bare: {
      ...stallMarks(truth, bare.stallRaisedAt),
      ...climbMarks(truth, bare.climbs),
      ...windowMarks(crossing, bare.windowRaisedAt),
      forecasts:
        crossing === null
          ? []
          : HORIZONS_MIN['salting heat'].map((horizonMin) => {
              const midMin = bare.toSaltingMin[Math.floor(crossing - horizonMin)] ?? null;
              const errorMin = midMin === null ? null : midMin - horizonMin;
              return { what: 'salting heat', horizonMin, errorMin, covered: null, widthMin: null };
            }),
    },
    others: (Object.keys(OTHER_WAYS) as OtherWay[]).map((way) => {
      const { climbs, stallRaisedAt } = goOtherWay(way, run.told, run.recipe.saltingStartC);
      return { way, marks: { ...stallMarks(truth, stallRaisedAt), ...climbMarks(truth, climbs) } };
    }),
    coveredMin: coveredMinutes(truth, run),
    ...faultMarks(run, raised),
    raised: countByName(raised),
    mostIn10Min: mostWithin(
      raised.filter(({ name }) => name !== 'stoke-due').map((alert) => alert.at),
      10,
    ),
    stokes: stokeMarks(run.stoking, run.recipe.board.periodMs, run.closedS),
    said: run.alerts
      .filter(({ name }) => name !== 'stoke-due')
      .map(({ name, state, probe, at: epochMs }) => ({ at: at(epochMs), name, state, probe })),
  };
}

function stallMarks(truth: Truth, raisedAt: number[]): Pick<Marks, 'stalls' | 'trueAtFalse'> {
  const stalls = findStalls(truth.stalls, raisedAt);
  const trueAtFalse = stalls.falseAt.map((at) => {
    const minute = truth.minutes[Math.min(Math.floor(at), truth.minutes.length - 1)];
    return { stage: minute?.stage ?? 'before', climbCPerH: minute?.climbCPerH ?? Number.NaN };
  });
  return { stalls, trueAtFalse };
}

function climbMarks(
  truth: Truth,
  told: readonly (number | null)[],
): Pick<Marks, 'climbErrors' | 'untoldMin'> {
  const climbErrors: number[] = [];
  let untoldMin = 0;
  truth.minutes.forEach(({ stage, climbCPerH }, minute) => {
    if (stage !== 'climbing' || Number.isNaN(climbCPerH)) return;
    const climb = told[minute] ?? null;
    if (climb === null) untoldMin += 1;
    else climbErrors.push(climb - climbCPerH);
  });
  return { climbErrors, untoldMin };
}

function coveredMinutes(truth: Truth, run: Run): number {
  return truth.minutes.filter(({ stage, climbCPerH }, minute) => {
    const told = run.told[minute];
    if (stage !== 'climbing' || !told || told.climbCPerH === null || told.climbSdCPerH === null) return false;
    return Math.abs(told.climbCPerH - climbCPerH) <= NORMAL_90 * told.climbSdCPerH;
  }).length;
}

function windowMarks(crossing: number | null, raisedAt: number[]): Pick<Marks, 'window' | 'earlyWindowAt'> {
  if (crossing === null) return { window: null, earlyWindowAt: raisedAt };
  const window = windowError(crossing, raisedAt);
  // Salting goes on after the crossing: a window that closes and opens then is none that is false.
  return { window, earlyWindowAt: raisedAt.filter((at) => at < crossing - 60) };
}

interface Raised {
  at: number;
  name: AlertName;
  probe: string | null;
}

/** A mishap that passes is over for the screen a little later than for the kiln. */
const AFTER_MISHAP_MIN = 15;

function faultMarks(run: Run, raised: readonly Raised[]): Pick<FiringMarks, 'mishaps' | 'falseFaults'> {
  const spells = (run.recipe.board.mishaps ?? []).flatMap(({ what, probe, minutes }, i) => {
    const sinceS = run.mishapsS[i] ?? null;
    if (sinceS === null) return [];
    const sinceMin = sinceS / 60;
    const stays = what === 'opens' || what === 'drifts';
    return [
      { what, probe, sinceMin, to: stays ? Number.POSITIVE_INFINITY : sinceMin + minutes + AFTER_MISHAP_MIN },
    ];
  });
  const faults = raised.filter(({ name }) => name === 'probe-fault');
  const names = new Set(faults.map(({ probe }) => probe ?? ''));
  return {
    mishaps: spells.map(({ what, probe, sinceMin, to }) => {
      const found = faults.find((fault) => fault.probe === probe && fault.at >= sinceMin && fault.at <= to);
      return { what, probe, sinceMin, delayMin: found ? found.at - sinceMin : null };
    }),
    falseFaults: [...names].flatMap((probe) => {
      const isTrue = (at: number) =>
        spells.some((spell) => spell.probe === probe && at >= spell.sinceMin && at <= spell.to);
      const times = faults.filter((fault) => fault.probe === probe).map(({ at }) => at);
      return falseRaises(times, isTrue).map((at) => ({ probe, at }));
    }),
  };
}

function countByName(raised: readonly Raised[]): Partial<Record<AlertName, number>> {
  const counts: Partial<Record<AlertName, number>> = {};
  for (const { name } of raised) counts[name] = (counts[name] ?? 0) + 1;
  return counts;
}
