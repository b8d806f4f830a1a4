/** A reading's values on their way in: through couple, screen, track and heat work, and what the quick signal shows. */
import type { RawValue } from '../../protocol/probes.ts';
import { raiseCone } from './cones-seen.ts';
import { convert } from './couple/convert.ts';
import { isDrifting, probeFigures, speakingProbes } from './figures.ts';
import type { ProbeFigures, ReadingFlag, ReadingInput } from './inputs.ts';
import { addLate, feedProbe } from './probe.ts';
import { noteJump } from './probe-watch.ts';
import type { FiringState, ProbeState } from './state.ts';
import { forgetRhythm, noteSeenPeak, noteSeenStoke } from './stoking.ts';
import { followTurns, UNSEEN_MS } from './turns.ts';

/** One probe's value through couple, screen, track and heat work: its archive row. */
export function takeValue(
  state: FiringState,
  probe: ProbeState,
  input: ReadingInput,
  raw: RawValue,
): ProbeFigures {
  const { at } = input;
  const converted = convert(probe.track.spec, raw, input.coldJunctionC);
  const flags: ReadingFlag[] = [];
  if (converted.state === 'open' || converted.state === 'short' || converted.state === 'range')
    flags.push(converted.state);
  const broken = flags.length > 0;
  if (probe.pulled) flags.push('pulled');
  const offsetC = offsetOf(state, probe.label, at);
  const tempC = converted.tempC === null ? null : converted.tempC + offsetC;
  const goesIn = !probe.pulled && (converted.tempC !== null || broken);
  const cooling = state.stage.stage === 'cooling' || state.stage.stage === 'open';
  const reading = { at, raw, tempC: converted.tempC, offsetC, cooling };
  if (input.late) {
    if (goesIn) addLate(probe.track, reading, state.now ?? at);
    return { ...LATE_ROW, probe: probe.label, raw, tempC, flags };
  }
  probe.last = tempC === null ? converted : { tempC, state: 'ok' };
  probe.lastAt = at;
  if (tempC !== null) probe.numberAt = at;
  if (goesIn) {
    const screened = feedProbe(probe.track, reading);
    if (screened === 'jump') noteJump(state, probe, at, converted.tempC ?? probe.goodC);
    probe.stuck = screened === 'stuck';
    if (screened === 'good' || screened === 'jump') {
      probe.goodAt = at;
      probe.goodC = converted.tempC ?? probe.goodC;
    } else if (screened !== 'fault') {
      flags.push(screened);
    }
    raiseCone(probe);
  }
  return probeFigures(state, probe, at, raw, flags);
}

/** The flag of what drifts: to be called when the probes have been looked at beside each other, for the kiln goes by that. */
export function flagDrift(probe: ProbeState, { tempC, flags }: ProbeFigures): void {
  if (tempC !== null && !probe.pulled && isDrifting(probe)) flags.push('drift');
}

/** Smoothed figures belong to the time of arrival; of a late reading only the temperature is known. */
const LATE_ROW = {
  smoothC: null,
  climbCPerH: null,
  climbSdCPerH: null,
  cone: null,
  coneShift: null,
  fault: null,
  note: null,
};

/** The user's own correction of a probe at `at`, °C: the latest dated one that holds by then. */
function offsetOf(state: FiringState, label: string, at: number): number {
  let offsetC = 0;
  let latest = Number.NEGATIVE_INFINITY;
  for (const offset of state.plan.offsets) {
    const from = offset.from === undefined ? Number.NEGATIVE_INFINITY : Date.parse(offset.from);
    if (offset.probe === label && from <= at && from >= latest) {
      offsetC = offset.offsetC;
      latest = from;
    }
  }
  return offsetC;
}

/** Follows the quick heat of the probes that speak for the kiln: a low in it is a stoke, a high its peak. */
export function watchTurns(state: FiringState, at: number): void {
  const speaking = speakingProbes(state, at);
  if (speaking.length === 0) return;
  const { stoking, turns } = state;
  if (turns.heat.at !== null && at - turns.heat.at > UNSEEN_MS) forgetRhythm(stoking);
  const turn = followTurns(turns, at, new Map(speaking.map(({ label, goodC }) => [label, goodC])));
  if (turn === 'low') noteSeenStoke(stoking, turns.stokeAt ?? at);
  else if (turn === 'high') noteSeenPeak(stoking, at);
}
