/** The demo board's probes: what the couple, its wires and its chip make of the temperature at the tip. */
import type { ProbeSpec, RawValue } from '../../protocol/probes.ts';
import { coupleRangeC, emfMv } from '../core/couple/reference-function.ts';
import type { Zone } from './chamber.ts';
import { bell, type Random, uniform } from './random.ts';
import { isGoingOn, type Scheduled, type Scripted } from './troubles.ts';

export interface DemoProbe {
  spec: ProbeSpec;
  zone: Zone;
  /** Standard deviation of its noise, °C. */
  noiseC: number;
}

const uv = { kind: 'uv' } as const;

/** Those of the demo kiln: one at each place, the hottest a couple for it. */
export const DEMO_PROBES: readonly DemoProbe[] = [
  { spec: { name: 'front-low', couple: 'K', form: uv }, zone: 'front-low', noiseC: 0.6 },
  { spec: { name: 'front-high', couple: 'K', form: uv }, zone: 'front-high', noiseC: 0.6 },
  { spec: { name: 'back-low', couple: 'K', form: uv }, zone: 'back-low', noiseC: 0.5 },
  { spec: { name: 'back-high', couple: 'S', form: uv }, zone: 'back-high', noiseC: 0.4 },
];

/**
 * `opens`: a break that flickers for its minutes and then stays. `loose`: open now and then, and sound again after it.
 * `sticks`: the same number again and again. `spikes`: now and then a number far off. `drifts`: reads lower by the
 * minute, and stays so.
 */
export interface ProbeMishap extends Scripted {
  what: 'opens' | 'loose' | 'sticks' | 'spikes' | 'drifts';
  probe: string;
  /** Of a drift; -0.6 unless told. */
  driftCPerMin?: number;
}

/** A broken wire that still touches now and then is open for so much of its time. */
const FLICKERS_OPEN = 0.4;
const SPIKE_CHANCE = 0.06;
const LOOSE_OPEN = 0.15;
const DRIFT_C_PER_MIN = -0.6;

/** The number that the board's chip gives for a tip at `tempC`, in the probe's form; `!range` beyond the couple. */
export function rawAt({ couple, form }: ProbeSpec, tempC: number, coldJunctionC: number): RawValue {
  const { lowC, highC } = coupleRangeC(couple);
  if (tempC < lowC || tempC > highC) return '!range';
  if (form.kind === 'deg') return Math.round(tempC * 10) / 10;
  const measuredUv = (emfMv(couple, tempC) - emfMv(couple, coldJunctionC)) * 1000;
  if (form.kind === 'uv') return Math.round(measuredUv);
  return Math.round((measuredUv / form.uvPerC + coldJunctionC) * 4) / 4;
}

/** One look at a probe. `before`: what it gave the last time. */
export function readProbe(
  probe: DemoProbe,
  tipC: number,
  coldJunctionC: number,
  mishaps: readonly Scheduled<ProbeMishap>[],
  nowS: number,
  before: RawValue,
  random: Random,
): RawValue {
  let tempC = tipC + probe.noiseC * bell(random);
  const chance = uniform(random);
  const spikeC = 60 + 340 * uniform(random);
  for (const mishap of mishaps) {
    const { script, sinceS } = mishap;
    if (script.probe !== probe.spec.name || sinceS === null) continue;
    const forMin = Math.min(script.minutes, (nowS - sinceS) / 60);
    if (script.what === 'drifts') tempC += (script.driftCPerMin ?? DRIFT_C_PER_MIN) * forMin;
    const over = !isGoingOn(mishap, nowS);
    if (script.what === 'opens' && (over || chance < FLICKERS_OPEN)) return '!open';
    if (over) continue;
    if (script.what === 'loose' && chance < LOOSE_OPEN) return '!open';
    if (script.what === 'sticks') return before;
    if (script.what === 'spikes' && chance < SPIKE_CHANCE)
      tempC += chance < SPIKE_CHANCE / 2 ? spikeC : -spikeC;
  }
  return rawAt(probe.spec, tempC, coldJunctionC);
}
