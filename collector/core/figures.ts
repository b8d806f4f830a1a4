/** The figures of the probes and of the kiln, as known at one instant. */
import { formatCone } from '../../protocol/cones.ts';
import { FAULT_WORDS, K_MAY_READ_LOW, K_MAY_READ_LOW_FROM_C, TOO_COLD_FOR_B } from './fault-words.ts';
import type { KilnFigures, ProbeFigures } from './inputs.ts';
import { isLoose } from './screen.ts';
import { type FiringState, isWorking, type ProbeState, periodOf, STALE_PERIODS } from './state.ts';
import { trackClimb, trackLevelC } from './track.ts';

/** The fault of a probe in words; null where it has none, and while it is pulled. */
export function faultOf(state: FiringState, probe: ProbeState, at: number): string | null {
  if (probe.pulled || probe.last === null) return null;
  const { state: how } = probe.last;
  if (how === 'not-measured') {
    const empty =
      at - Math.max(probe.numberAt, state.stage.since) > STALE_PERIODS * periodOf(state, probe.board);
    return empty ? FAULT_WORDS['not-measured'] : null;
  }
  if (how !== 'ok') return how === 'too-cold' ? null : FAULT_WORDS[how];
  if (probe.stuck) return FAULT_WORDS.stuck;
  return isLoose(probe.track.line.screen) ? FAULT_WORDS.loose : null;
}

/** What the potter should know of a probe that is no fault. */
function noteOf(probe: ProbeState): string | null {
  if (probe.last?.state === 'too-cold') return TOO_COLD_FOR_B;
  const hot = probe.last?.state === 'ok' && probe.last.tempC >= K_MAY_READ_LOW_FROM_C;
  return hot && probe.track.spec.couple === 'K' ? K_MAY_READ_LOW : null;
}

/** One probe at `at`; all but its cone is null when it had no value for 5 periods. */
export function probeFigures(state: FiringState, probe: ProbeState, at: number): ProbeFigures {
  const fresh = at - probe.lastAt <= STALE_PERIODS * periodOf(state, probe.board);
  const working = isWorking(state, probe, at);
  const climb = working ? trackClimb(probe.track.line.track) : null;
  return {
    probe: probe.label,
    raw: null,
    tempC: fresh ? (probe.last?.tempC ?? null) : null,
    smoothC: working ? trackLevelC(probe.track.line.track) : null,
    climbCPerH: climb?.climbCPerH ?? null,
    climbSdCPerH: climb?.sdCPerH ?? null,
    cone: formatCone(probe.cone),
    fault: faultOf(state, probe, at),
    note: fresh ? noteOf(probe) : null,
    flags: [],
  };
}

/** The probes that speak for the kiln: the plan's guide while it works, else all that work. */
export function speakingProbes(state: FiringState, at: number): ProbeState[] {
  const working = state.probes.filter((probe) => isWorking(state, probe, at));
  const guide = working.find((probe) => probe.label === state.plan.guide);
  return guide ? [guide] : working;
}

/**
 * The kiln as a whole: the mean of the probes that speak for it. They share the stoke sawtooth, so their deviations do
 * not average out: the standard deviation is the mean of theirs, not less.
 */
export function kilnFigures(state: FiringState, at: number): KilnFigures & { coneValue: number | null } {
  let levels = 0;
  let levelSum = 0;
  let climbs = 0;
  let climbSum = 0;
  let sdSum = 0;
  let cones = 0;
  let coneSum = 0;
  for (const probe of speakingProbes(state, at)) {
    const level = trackLevelC(probe.track.line.track);
    if (level !== null) {
      levels += 1;
      levelSum += level;
    }
    const climb = trackClimb(probe.track.line.track);
    if (climb) {
      climbs += 1;
      climbSum += climb.climbCPerH;
      sdSum += climb.sdCPerH;
    }
    if (probe.cone !== null) {
      cones += 1;
      coneSum += probe.cone;
    }
  }
  return {
    smoothC: levels > 0 ? levelSum / levels : null,
    climbCPerH: climbs > 0 ? climbSum / climbs : null,
    climbSdCPerH: climbs > 0 ? sdSum / climbs : null,
    coneValue: cones > 0 && cones === levels ? coneSum / cones : null,
  };
}

/** Milliseconds to salting heat at the present climb, with an 80 % interval by the climb's own; null where it cannot be said. */
export function toSalting(
  state: FiringState,
  kiln: KilnFigures,
): { low: number; mid: number; high: number | null } | null {
  const { saltingStartC } = state.plan;
  const { smoothC, climbCPerH, climbSdCPerH } = kiln;
  if (state.stage.stage !== 'climbing' || saltingStartC === null) return null;
  if (smoothC === null || climbCPerH === null || climbSdCPerH === null) return null;
  const missingC = saltingStartC - smoothC;
  if (missingC <= 0) return { low: 0, mid: 0, high: 0 };
  if (climbCPerH < LEAST_FORECAST_C_PER_H) return null;
  const spread = NORMAL_80 * Math.hypot(climbSdCPerH, CLIMB_CHANGE_PART * climbCPerH);
  const slow = climbCPerH - spread;
  const span = (rate: number) => (missingC / rate) * 3_600_000;
  return {
    low: span(climbCPerH + spread),
    mid: span(climbCPerH),
    high: slow >= LEAST_FORECAST_C_PER_H ? span(slow) : null,
  };
}

/** Two-sided 80 % of the normal distribution. */
const NORMAL_80 = 1.2816;
/** A slower climb than this says nothing about when. */
const LEAST_FORECAST_C_PER_H = 4;
/** How much the climb usually changes on the way, as a part of itself: our own choice. */
const CLIMB_CHANGE_PART = 0.25;
