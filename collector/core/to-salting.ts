/** How long until salting may start, by the heat, by the cone, or by both, as the plan has it. */
import { parseCone } from '../../protocol/cones.ts';
import { HOUR_MS, MINUTE_MS } from '../../protocol/units.ts';
import { type KilnNow, speakingProbes } from './figures.ts';
import { timeToCone } from './heat-work/forecast.ts';
import type { Span } from './inputs.ts';
import { probeLevelC } from './probe.ts';
import type { FiringState, ProbeState } from './state.ts';

/** Two-sided 80 % of the normal distribution. */
const NORMAL_80 = 1.2816;
/** A slower climb than this says nothing about when. */
const LEAST_FORECAST_C_PER_H = 4;
/** How much the climb usually changes on the way, as a part of itself: our own choice. */
const CLIMB_CHANGE_PART = 0.25;
/** The way to a cone takes a while to compute, so it is done once in so long. */
const CONE_AHEAD_EVERY_MS = MINUTE_MS;

const REACHED: Span = { low: 0, mid: 0, high: 0 };

/** The climb of now, and how fast and how slow it may be on the way; °C/h. */
interface Rates {
  slow: number;
  mid: number;
  fast: number;
}

/**
 * From `at` to the salting start at the present climb, with an 80 % interval by the climb's own; null where it cannot
 * be said, and in every stage but `climbing`. Keeps the last way to the cone in the state.
 */
export function toSalting(state: FiringState, kiln: KilnNow, at: number): Span | null {
  const { saltingStartC, saltingStartCone } = state.plan;
  const { smoothC, climbCPerH, climbSdCPerH } = kiln;
  const cone = saltingStartCone === null ? null : parseCone(saltingStartCone);
  if (state.stage.stage !== 'climbing' || (saltingStartC === null && cone === null)) return null;
  if (smoothC === null || climbCPerH === null || climbSdCPerH === null) return null;
  const spread = NORMAL_80 * Math.hypot(climbSdCPerH, CLIMB_CHANGE_PART * climbCPerH);
  const rates = { slow: climbCPerH - spread, mid: climbCPerH, fast: climbCPerH + spread };
  const byHeat = saltingStartC === null ? REACHED : toHeat(saltingStartC - smoothC, rates);
  const byCone = cone === null ? REACHED : toCone(state, cone, kiln.coneValue, rates, at);
  return byHeat && byCone && later(byHeat, byCone);
}

function toHeat(missingC: number, { slow, mid, fast }: Rates): Span | null {
  if (missingC <= 0) return REACHED;
  if (mid < LEAST_FORECAST_C_PER_H) return null;
  const spanAt = (rate: number) => (missingC / rate) * HOUR_MS;
  return { low: spanAt(fast), mid: spanAt(mid), high: slow >= LEAST_FORECAST_C_PER_H ? spanAt(slow) : null };
}

function toCone(
  state: FiringState,
  cone: number,
  coneNow: number | null,
  { slow, mid, fast }: Rates,
  at: number,
): Span | null {
  if (coneNow !== null && coneNow >= cone) return REACHED;
  if (at - state.coneAhead.at >= CONE_AHEAD_EVERY_MS) {
    const probes = speakingProbes(state, at);
    const [low, middle] = [meanToCone(probes, cone, fast), meanToCone(probes, cone, mid)];
    const span =
      low === null || middle === null ? null : { low, mid: middle, high: meanToCone(probes, cone, slow) };
    state.coneAhead = { at, span };
  }
  const { span, at: saidAt } = state.coneAhead;
  const left = (ms: number) => Math.max(0, ms - (at - saidAt));
  return (
    span && { low: left(span.low), mid: left(span.mid), high: span.high === null ? null : left(span.high) }
  );
}

/** The mean over the probes of the time to the cone at `climbCPerH`; null if one of them never gets there. */
function meanToCone(probes: ProbeState[], cone: number, climbCPerH: number): number | null {
  let sumMs = 0;
  for (const { track } of probes) {
    const levelC = probeLevelC(track);
    const ms = levelC === null ? null : timeToCone(track.line.heat, cone, levelC, climbCPerH);
    if (ms === null) return null;
    sumMs += ms;
  }
  return probes.length > 0 ? sumMs / probes.length : null;
}

function later(a: Span, b: Span): Span {
  const high = a.high === null || b.high === null ? null : Math.max(a.high, b.high);
  return { low: Math.max(a.low, b.low), mid: Math.max(a.mid, b.mid), high };
}
