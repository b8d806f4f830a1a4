/** The figures of the probes and of the kiln, as known at one instant. */
import { formatCone } from '../../protocol/cones.ts';
import type { RawValue } from '../../protocol/probes.ts';
import { coneShift } from './cones-seen.ts';
import {
  driftWords,
  FAULT_WORDS,
  jumpWords,
  K_MAY_READ_LOW,
  K_MAY_READ_LOW_FROM_C,
  partedWords,
  TOO_COLD_FOR_B,
} from './fault-words.ts';
import type { KilnFigures, ProbeFigures, ReadingFlag } from './inputs.ts';
import { probeLevelC } from './probe.ts';
import { isLoose } from './screen.ts';
import { type FiringState, isWorking, type ProbeState, periodOf, STALE_PERIODS } from './state.ts';
import { trackClimb } from './track.ts';

/** The fault of a probe in words; null where it has none, and while it is pulled. */
export function faultOf(state: FiringState, probe: ProbeState, at: number): string | null {
  if (probe.pulled || probe.last === null) return null;
  const { state: how } = probe.last;
  if (how === 'too-cold') return null;
  if (how === 'not-measured') {
    if (at - probe.numberAt > STALE_PERIODS * periodOf(state, probe.board))
      return FAULT_WORDS['not-measured'];
  } else if (how !== 'ok') {
    return FAULT_WORDS[how];
  }
  if (probe.stuck) return FAULT_WORDS.stuck;
  if (isLoose(probe.track.line.screen)) return FAULT_WORDS.loose;
  const { told } = probe.drift;
  return told?.kind === 'drift' ? driftWords(told, at) : null;
}

/** What may be wrong with a probe whose reading is still taken for what it is, in words; or null. */
export function doubtOf(state: FiringState, probe: ProbeState, at: number): string | null {
  if (probe.pulled) return null;
  if (probe.jump?.byC) return jumpWords(probe.jump.byC);
  const { told } = probe.drift;
  if (told?.kind !== 'parts') return null;
  const other = told.among === 2 ? state.probes[told.against]?.label : undefined;
  return partedWords(told, other ?? null, at);
}

/** Whether it is known to drift: it is heard, but it speaks for the kiln only where no other can. */
export function isDrifting({ drift: { told } }: ProbeState): boolean {
  return told?.kind === 'drift';
}

/** What the potter should know of a probe that is no fault. */
function noteOf(probe: ProbeState): string | null {
  if (probe.last?.state === 'too-cold') return TOO_COLD_FOR_B;
  const hot = probe.last?.state === 'ok' && probe.last.tempC >= K_MAY_READ_LOW_FROM_C;
  return hot && probe.track.spec.couple === 'K' ? K_MAY_READ_LOW : null;
}

/** There is a fire that somebody keeps to its climb. */
function isTended({ stage: { stage } }: FiringState): boolean {
  return stage !== 'cooling' && stage !== 'open';
}

/** One probe at `at`, and what it gave; all but its cone is null when it had no value for 5 periods. */
export function probeFigures(
  state: FiringState,
  probe: ProbeState,
  at: number,
  raw: RawValue = null,
  flags: ReadingFlag[] = [],
): ProbeFigures {
  const fresh = at - probe.lastAt <= STALE_PERIODS * periodOf(state, probe.board);
  const working = isWorking(state, probe, at);
  const climb = working ? trackClimb(probe.track.line.track, isTended(state)) : null;
  return {
    probe: probe.label,
    raw,
    tempC: fresh ? (probe.last?.tempC ?? null) : null,
    smoothC: working ? probeLevelC(probe.track) : null,
    climbCPerH: climb?.climbCPerH ?? null,
    climbSdCPerH: climb?.sdCPerH ?? null,
    cone: formatCone(probe.cone),
    coneShift: coneShift(probe),
    fault: faultOf(state, probe, at) ?? doubtOf(state, probe, at),
    note: fresh ? noteOf(probe) : null,
    flags,
  };
}

/** The probes that speak for the kiln: the plan's guide while it works, else all that work and do not drift. */
export function speakingProbes(state: FiringState, at: number): ProbeState[] {
  const working = state.probes.filter((probe) => isWorking(state, probe, at));
  const sound = working.filter((probe) => !isDrifting(probe));
  const speaking = sound.length > 0 ? sound : working;
  const guide = speaking.find((probe) => probe.label === state.plan.guide);
  return guide ? [guide] : speaking;
}

/**
 * With the mean of the cones on the scale of `parseCone` and that of the place that is furthest, or null; and the climb as
 * the readings alone show it, not drawn to the usual climb, °C/h.
 */
export type KilnNow = KilnFigures & {
  coneValue: number | null;
  mostConeValue: number | null;
  shownCPerH: number | null;
};

/** The mean of what those probes last measured, with the user's own corrections, °C; null where none works. */
export function measuredC(state: FiringState, at: number): number | null {
  const speaking = speakingProbes(state, at);
  if (speaking.length === 0) return null;
  return speaking.reduce((sum, { goodC, track }) => sum + goodC + track.line.offsetC, 0) / speaking.length;
}

/** Of all that work, drifting or not: a couple that drifts reads low. Null where no cone is reached. */
function mostCone(state: FiringState, at: number): number | null {
  let most: number | null = null;
  for (const probe of state.probes) {
    if (probe.cone !== null && (most === null || probe.cone > most) && isWorking(state, probe, at))
      most = probe.cone;
  }
  return most;
}

/**
 * The kiln as a whole: the mean of the probes that speak for it. They share the stoke sawtooth, so their deviations do
 * not average out: the standard deviation is the mean of theirs, not less.
 */
export function kilnFigures(state: FiringState, at: number): KilnNow {
  let levels = 0;
  let levelSum = 0;
  let climbs = 0;
  let climbSum = 0;
  let sdSum = 0;
  let shownSum = 0;
  let cones = 0;
  let coneSum = 0;
  for (const probe of speakingProbes(state, at)) {
    const level = probeLevelC(probe.track);
    if (level !== null) {
      levels += 1;
      levelSum += level;
    }
    const climb = trackClimb(probe.track.line.track, isTended(state));
    if (climb) {
      climbs += 1;
      climbSum += climb.climbCPerH;
      sdSum += climb.sdCPerH;
      shownSum += climb.shownCPerH;
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
    shownCPerH: climbs > 0 ? shownSum / climbs : null,
    coneValue: cones > 0 && cones === levels ? coneSum / cones : null,
    mostConeValue: mostCone(state, at),
  };
}
