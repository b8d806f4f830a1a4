/** What is ahead of the kiln: salting heat, the firing cone, the next stage, the opening; and the fan of its curve. */
import { parseCone } from '../../../protocol/cones.ts';
import { isBurning } from '../../../protocol/stages.ts';
import { cFromF, HOUR_MS, MINUTE_MS } from '../../../protocol/units.ts';
import { type KilnNow, speakingProbes } from '../figures.ts';
import { kelvin } from '../heat-work/arrhenius.ts';
import { timeToCone } from '../heat-work/time-to-cone.ts';
import type { Fan, Forecast, Forecasts, Span } from '../inputs.ts';
import { probeLevelC } from '../probe.ts';
import { CLIMBING_FROM_C } from '../stage.ts';
import { type FiringState, isWorking, type ProbeState } from '../state.ts';
import {
  type ClimbNow,
  climbPath,
  type HoldAhead,
  learnClimb,
  levelAt,
  type Path,
  pauseClimb,
} from './climb-ahead.ts';
import {
  type CoolAhead,
  coolAhead,
  coolLevel,
  coolSpan,
  learnCooling,
  noteJunction,
  resetCooling,
} from './cooling.ts';
import { notSoonerThan } from './spans.ts';

/** Forecasts are made so often; in between they only come nearer. A closed kiln is slow. */
const EVERY_MS = MINUTE_MS;
const EVERY_COOLING_MS = 5 * MINUTE_MS;
/** Nobody plans a climb further ahead. */
const LONGEST_CLIMB_MS = 36 * HOUR_MS;
/**
 * How sure heat work is, as half of an 80 % interval of 1/T: 2.5 °C of couple, place and chart together (a standard
 * deviation; our own choice), at the heat of cones 8 to 10.
 */
const HEAT_WORK_80 = (1.2816 * 2.5) / kelvin(1230) ** 2;
/**
 * The way to a firing cone leads through the salting, which takes heat that no climb foretells: as a part of the time
 * about so much, give or take (80 %) so much, and at most so long. Measured by the score.
 */
const SALT_TAKES_PART = 0.06;
const SALT_80_PART = 0.35;
const SALT_80_MS = 15 * MINUTE_MS;
/** Heat work is won over hours, in which the way's ups and downs go into one: three hours ahead it is so much surer. Measured. */
const EVENS_OUT_PART = 0.15;
const EVENS_OUT_MS = 3 * HOUR_MS;
const FAN_STEP_MS = 10 * MINUTE_MS;
const FAN_CLIMBING_MS = 3 * HOUR_MS;
const FAN_COOLING_STEPS = 24;
/** About five days after closing (common practice, no source). */
const BELOW_400F_C = cFromF(400);

const NOTHING: Forecasts = { cone: null, nextStage: null, below400F: null, unbrick: null };

/**
 * Learns from the kiln and makes the forecasts anew, where it is time for that. With each reading, and at no other time:
 * what is learnt must be the same whether a late reading came a second sooner or later.
 */
export function learnAhead(state: FiringState, kiln: KilnNow, at: number): void {
  const { made } = state.forecasts;
  const { stage } = state.stage;
  const everyMs = stage === 'cooling' ? EVERY_COOLING_MS : EVERY_MS;
  if (made && fits(state) && at - made.forecast.at < everyMs) return;
  state.forecasts.made = { forecast: makeForecast(state, kiln, at), stage, plan: state.plan };
}

/** Whether the last forecast was made for this stage and this plan. */
function fits({ forecasts, stage, plan }: FiringState): boolean {
  return forecasts.made?.stage === stage.stage && forecasts.made.plan === plan;
}

/** The last forecast, as it was made; null while no probe speaks, or it was for something else. */
function lastForecast(state: FiringState, kiln: KilnNow): Forecast | null {
  const { made } = state.forecasts;
  return made && fits(state) && kiln.smoothC !== null ? made.forecast : null;
}

/** What is ahead at `at`, epoch ms, by the last forecast. */
export function forecastAt(state: FiringState, kiln: KilnNow, at: number): Forecast {
  const last = lastForecast(state, kiln);
  return last ? broughtTo(last, at) : { at, toSaltingMs: null, forecasts: NOTHING, fan: null };
}

/** Of that only the likeliest time to salting heat, ms; null where it cannot be said. */
export function toSaltingAt(state: FiringState, kiln: KilnNow, at: number): number | null {
  const last = lastForecast(state, kiln);
  return last?.toSaltingMs ? Math.max(0, last.toSaltingMs.mid - (at - last.at)) : null;
}

function makeForecast(state: FiringState, kiln: KilnNow, at: number): Forecast {
  const { climb, cooling } = state.forecasts;
  const { stage } = state.stage;
  for (const { coldJunctionC } of state.boards) noteJunction(cooling, coldJunctionC);
  const now = climbNow(kiln);
  const climbs = stage === 'candling' || (isBurning(stage) && stage !== 'hold');
  if (climbs && now) learnClimb(climb, at, now, state.plan, namesOf(speakingProbes(state, at)));
  else pauseClimb(climb);
  if (stage === 'cooling') return whileCooling(state, at);
  if (stage !== 'open') resetCooling(cooling);
  const left = holdLeft(state, at);
  const nextStage = left === null ? null : { stage: 'climbing' as const, low: left, mid: left, high: left };
  if (!climbs || !now) return { at, toSaltingMs: null, forecasts: { ...NOTHING, nextStage }, fan: null };
  return whileBurning(state, kiln, now, at);
}

function climbNow({ smoothC, climbCPerH, climbSdCPerH }: KilnNow): ClimbNow | null {
  if (smoothC === null || climbCPerH === null || climbSdCPerH === null) return null;
  return { levelC: smoothC, climbCPerH, climbSdCPerH };
}

const namesOf = (probes: readonly ProbeState[]): string => probes.map(({ label }) => label).join();

/** What is left of a planned hold, ms; null where none is on. */
function holdLeft({ stage, plan }: FiringState, at: number): number | null {
  const hold = stage.stage === 'hold' ? stage.plannedHold : null;
  const minutes = plan.holds.find(({ atC }) => atC === hold?.atC)?.minutes;
  return hold && minutes !== undefined ? Math.max(hold.since + minutes * MINUTE_MS - at, 0) : null;
}

function whileBurning(state: FiringState, kiln: KilnNow, now: ClimbNow, at: number): Forecast {
  const { plan } = state;
  const { stage } = state.stage;
  const early = stage === 'candling' || stage === 'climbing';
  const holds = early ? plan.holds.filter(({ atC }) => isAhead(state, atC, now.levelC)) : [];
  const path = climbPath(state.forecasts.climb, now, plan, holds, LONGEST_CLIMB_MS);
  const toSaltingMs = stage === 'climbing' ? toSalting(state, kiln, path, at) : null;
  // While candling, the cone is a day away, and nothing is known yet of the climb.
  const firingCone = early && stage !== 'climbing' ? null : parseCone(plan.firingCone);
  const cone =
    firingCone === null ? null : toCone(state, kiln, firingCone, path, at, { throughSalting: true });
  return {
    at,
    toSaltingMs,
    forecasts: {
      ...NOTHING,
      cone: cone && toSaltingMs ? notSoonerThan(cone, toSaltingMs) : cone,
      nextStage: early ? toNextStage(stage, path, holds, toSaltingMs) : null,
    },
    fan: fanOf(at, FAN_CLIMBING_MS / FAN_STEP_MS, FAN_STEP_MS, (ms) => levelAt(path, ms)),
  };
}

function isAhead({ stage }: FiringState, atC: number, levelC: number): boolean {
  return atC > levelC && !stage.holdsDone.includes(atC);
}

function toNextStage(
  stage: 'candling' | 'climbing',
  path: Path,
  holds: readonly HoldAhead[],
  toSaltingMs: Span | null,
): Forecasts['nextStage'] {
  const firstHoldC = Math.min(...holds.map(({ atC }) => atC));
  const toHold = toHeat(path, firstHoldC);
  const beyond = stage === 'candling' ? toHeat(path, CLIMBING_FROM_C) : toSaltingMs;
  if (toHold && toHold.mid < (beyond?.mid ?? Number.POSITIVE_INFINITY)) return { stage: 'hold', ...toHold };
  return beyond && { stage: stage === 'candling' ? 'climbing' : 'salting', ...beyond };
}

/** When the path is at `atC`; null where its middle does not get there. */
function toHeat({ stepMs, lowC, midC, highC }: Path, atC: number): Span | null {
  const mid = crossing(midC, atC, stepMs);
  if (mid === null) return null;
  return { low: Math.min(crossing(highC, atC, stepMs) ?? mid, mid), mid, high: crossing(lowC, atC, stepMs) };
}

function crossing(tempC: readonly number[], atC: number, stepMs: number): number | null {
  const after = tempC.findIndex((each) => each >= atC);
  if (after <= 0) return after < 0 ? null : 0;
  const [from, to] = [tempC[after - 1] ?? atC, tempC[after] ?? atC];
  return (after - (to - atC) / (to - from)) * stepMs;
}

const REACHED: Span = { low: 0, mid: 0, high: 0 };

/** To the salting start, by the heat, by the cone, or by both, as the plan has it. */
function toSalting(state: FiringState, kiln: KilnNow, path: Path, at: number): Span | null {
  const { saltingStartC, saltingStartCone } = state.plan;
  const cone = saltingStartCone === null ? null : parseCone(saltingStartCone);
  if (saltingStartC === null && cone === null) return null;
  const isHot = saltingStartC === null || (kiln.smoothC ?? 0) >= saltingStartC;
  const byHeat = isHot ? REACHED : toHeat(path, saltingStartC);
  const byCone = cone === null ? REACHED : toCone(state, kiln, cone, path, at, { throughSalting: false });
  if (!byHeat || !byCone) return null;
  const high = byHeat.high === null || byCone.high === null ? null : Math.max(byHeat.high, byCone.high);
  return { low: Math.max(byHeat.low, byCone.low), mid: Math.max(byHeat.mid, byCone.mid), high };
}

/**
 * To a cone by heat work: the mean over the probes that speak for the kiln, each as far from its level as it is now. The
 * interval is the way's own and that of the heat work, which is no surer than couple and chart.
 */
function toCone(
  state: FiringState,
  kiln: KilnNow,
  cone: number,
  path: Path,
  at: number,
  { throughSalting }: { throughSalting: boolean },
): Span | null {
  if (kiln.coneValue !== null && kiln.coneValue >= cone) return REACHED;
  const probes = speakingProbes(state, at);
  const meanOf = (tempC: readonly number[], morePerK: number): number | null => {
    let sumMs = 0;
    for (const { track, shiftPerK } of probes) {
      const besideC = (probeLevelC(track) ?? Number.NaN) - (kiln.smoothC ?? Number.NaN);
      const way = { stepMs: path.stepMs, tempC, besideC };
      const ms = timeToCone(track.line.heat, cone, way, shiftPerK + morePerK);
      if (ms === null) return null;
      sumMs += ms;
    }
    return probes.length > 0 ? sumMs / probes.length : null;
  };
  const unsalted = meanOf(path.midC, 0);
  if (unsalted === null) return null;
  const mid = throughSalting ? unsalted * (1 + SALT_TAKES_PART) : unsalted;
  const way = 1 - EVENS_OUT_PART * Math.min(mid / EVENS_OUT_MS, 1);
  const soonerBy = (ms: number | null) => unsalted - (ms ?? unsalted);
  const laterBy = (ms: number | null) => (ms === null ? Number.POSITIVE_INFINITY : ms - unsalted);
  const sooner = [way * soonerBy(meanOf(path.highC, 0)), soonerBy(meanOf(path.midC, HEAT_WORK_80))];
  const later = [way * laterBy(meanOf(path.lowC, 0)), laterBy(meanOf(path.midC, -HEAT_WORK_80))];
  const salted = throughSalting ? Math.min(SALT_80_PART * mid, SALT_80_MS) : 0;
  const high = mid + Math.hypot(...later, salted);
  return {
    low: Math.max(mid - Math.hypot(...sooner, salted), 0),
    mid,
    high: Number.isFinite(high) ? high : null,
  };
}

/** A closed kiln may be opened when its hottest probe is cool enough. */
function whileCooling(state: FiringState, at: number): Forecast {
  const nothing: Forecast = { at, toSaltingMs: null, forecasts: NOTHING, fan: null };
  const { cooling } = state.forecasts;
  const levels = state.probes
    .filter((probe) => isWorking(state, probe, at))
    .flatMap(({ track }) => probeLevelC(track) ?? []);
  if (levels.length === 0) return nothing;
  const levelC = Math.max(...levels);
  learnCooling(cooling, at, levelC);
  const { unbrickC } = state.plan;
  const ahead = coolAhead(cooling, at, levelC, Math.min(unbrickC, BELOW_400F_C));
  if (!ahead) return nothing;
  const unbrick = coolSpan(ahead, unbrickC);
  return {
    at,
    toSaltingMs: null,
    forecasts: {
      cone: null,
      nextStage: unbrick && { stage: 'open', ...unbrick },
      below400F: coolSpan(ahead, BELOW_400F_C),
      unbrick,
    },
    fan: unbrick && coolFan(at, ahead, unbrick.mid),
  };
}

function coolFan(at: number, ahead: CoolAhead, untilMs: number): Fan | null {
  if (untilMs <= 0) return null;
  return fanOf(at, FAN_COOLING_STEPS, untilMs / FAN_COOLING_STEPS, (ms) => coolLevel(ahead, ms));
}

function fanOf(
  at: number,
  steps: number,
  stepMs: number,
  levelOf: (ms: number) => { lowC: number; midC: number; highC: number },
): Fan {
  const fan: Fan = { at, aheadMs: [], lowC: [], midC: [], highC: [] };
  for (let i = 0; i <= steps; i += 1) {
    const { lowC, midC, highC } = levelOf(i * stepMs);
    fan.aheadMs.push(i * stepMs);
    fan.lowC.push(lowC);
    fan.midC.push(midC);
    fan.highC.push(highC);
  }
  return fan;
}

/** A forecast as it stands some time later: all spans are shorter, the fan stays as it was made. */
function broughtTo(forecast: Forecast, at: number): Forecast {
  const sinceMs = at - forecast.at;
  const left = (ms: number) => Math.max(0, ms - sinceMs);
  const span = <Of extends Span>(of: Of | null): Of | null =>
    of && { ...of, low: left(of.low), mid: left(of.mid), high: of.high === null ? null : left(of.high) };
  const { cone, nextStage, below400F, unbrick } = forecast.forecasts;
  return {
    ...forecast,
    at,
    toSaltingMs: span(forecast.toSaltingMs),
    forecasts: {
      cone: span(cone),
      nextStage: span(nextStage),
      below400F: span(below400F),
      unbrick: span(unbrick),
    },
  };
}
