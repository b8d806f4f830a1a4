/** Cones that were logged as bending or down: what they say of the heat work at their place. */
import type { KnownLogEntry } from '../../protocol/log-entries.ts';
import { coneValue } from './heat-work/heat-work.ts';
import { conesBetween, shiftBy, sighting } from './heat-work/sightings.ts';
import { heatWorkAt } from './probe.ts';
import type { FiringState, ProbeState } from './state.ts';

type ConeEntry = Extract<KnownLogEntry, { log: 'cone-bending' | 'cone-down' }>;

/** Takes the entry in, which happened at `at`; `undone` is the one that an undo took out. */
export function seeCone(state: FiringState, at: number, entry: KnownLogEntry): void {
  if (entry.log !== 'cone-bending' && entry.log !== 'cone-down') return;
  const probe = probeOf(state, entry);
  if (!probe) return;
  const what = entry.log === 'cone-down' ? 'down' : 'bending';
  const seen = sighting({ id: entry.id ?? null, at, what, cone: entry.cone }, heatWorkAt(probe.track, at));
  if (seen) probe.sightings.push(seen);
}

/** An entry is undone: a cone that it told of was not seen. */
export function unseeCone(state: FiringState, id: string): void {
  for (const probe of state.probes) probe.sightings = probe.sightings.filter((seen) => seen.id !== id);
}

/** The probe by whose place the cone stood: the named one, else the guide, else the only one there is. */
function probeOf({ probes, plan }: FiringState, { probe: name }: ConeEntry): ProbeState | undefined {
  const wanted = name ?? plan.guide;
  if (wanted !== null) return probes.find(({ label }) => label === wanted);
  return probes.length === 1 ? probes[0] : undefined;
}

/** Counts the sightings anew: one more or less, or salting has begun or has not. */
export function countSightings(state: FiringState): void {
  for (const probe of state.probes) {
    probe.shiftPerK = shiftBy(probe.sightings, state.logged.salt.startedAt);
    raiseCone(probe);
  }
}

/** The cone reached goes up with the heat work, and never down. */
export function raiseCone(probe: ProbeState): void {
  const cone = coneValue(probe.track.line.heat, probe.shiftPerK);
  if (cone !== null && (probe.cone === null || cone > probe.cone)) probe.cone = cone;
}

/** By how many cones the sightings move what is computed; null where they do not. */
export function coneShift({ track, shiftPerK }: ProbeState): number | null {
  if (shiftPerK === 0) return null;
  const [bare, shifted] = [coneValue(track.line.heat), coneValue(track.line.heat, shiftPerK)];
  return bare === null || shifted === null ? null : conesBetween(bare, shifted);
}
