/** The wood: how much went in and what heat with it, what it did, what is left, and whether that lasts to the end. */
import { isBurning } from '../../protocol/stages.ts';
import { HOUR_MS } from '../../protocol/units.ts';
import type { WoodPlan } from '../../protocol/woods.ts';
import { kgPerFaceCord, stackKg, usableMJPerKg } from './fuel-table.ts';
import type { FuelFigures } from './inputs.ts';
import type { FiringState } from './state.ts';
import { minuteAt, type Stoke } from './stoking.ts';

/** The pace is that of the last hours, and not told before the first of them is over. */
const PACE_MS = 2 * HOUR_MS;
const LEAST_PACE_MS = HOUR_MS;
/** From salting heat to the end: about an hour of salt (common practice, no source) and an hour's soak (kimlpottery.com). */
const SALTING_MS = HOUR_MS;
const SOAK_MS = HOUR_MS;

/** Time left to the clam-up, ms, by the way to salting heat and the usual length of what follows; null where unknown. */
function toEndMs(state: FiringState, toSaltingMs: number | null, at: number): number | null {
  const { startedAt } = state.logged.salt;
  switch (state.stage.stage) {
    case 'salting':
      return Math.max(0, SALTING_MS - (at - (startedAt ?? at))) + SOAK_MS;
    case 'climbing':
      return toSaltingMs === null ? null : toSaltingMs + SALTING_MS + SOAK_MS;
    default:
      return null;
  }
}

/** The stokes of the firing: as logged, else the number that the signal showed. `lots` counts those without a weight. */
function woodOf(stokes: readonly Stoke[]): { kg: number; lots: number } {
  let kg = 0;
  let lots = 0;
  for (const stoke of stokes) {
    kg += stoke.kg;
    lots += stoke.unweighed;
  }
  return { kg, lots };
}

/** What a stoke without a weight is taken for, kg: the plan's usual one, else the mean of those that were weighed. */
export function usualStokeKg(stokes: readonly Stoke[], { stokeKg }: WoodPlan): number | null {
  if (stokeKg !== null) return stokeKg;
  const weighed = stokes.filter(({ unweighed }) => unweighed === 0);
  return weighed.length > 0 ? woodOf(weighed).kg / weighed.length : null;
}

/** Wood in these stokes, kg; null where some have no weight and none is usual. */
export function weighedKg(stokes: readonly Stoke[], usualKg: number | null): number | null {
  const { kg, lots } = woodOf(stokes);
  return lots === 0 ? kg : usualKg === null ? null : kg + lots * usualKg;
}

/** Wood in the stokes since `from`, kg; null where some have no weight and none is usual. */
function woodSince(state: FiringState, from: number): number | null {
  const { stokes } = state.logged;
  const { seen, seenCount } = state.stoking;
  const usual = usualStokeKg(stokes, state.plan.wood);
  if (stokes.length === 0) {
    const count = from === Number.NEGATIVE_INFINITY ? seenCount : seen.filter((at) => at >= from).length;
    return usual === null ? null : count * usual;
  }
  return weighedKg(
    stokes.filter(({ at }) => at >= from),
    usual,
  );
}

/**
 * The wood as it stands at `at`; null before any stoke is known. Where stokes were not weighed and no usual weight is
 * known, the stack is spread over the stokes so far and to come, which says nothing of what is left.
 */
export function fuelFigures(
  state: FiringState,
  now: { smoothC: number | null; coneValue: number | null },
  usualIntervalMs: number | null,
  toSaltingMs: number | null,
  at: number,
): FuelFigures | null {
  const { wood } = state.plan;
  const logged = state.logged.stokes.length;
  const count = logged > 0 ? logged : state.stoking.seenCount;
  if (count === 0) return null;
  const endMs = isBurning(state.stage.stage) ? toEndMs(state, toSaltingMs, at) : null;
  const weighedKg = woodSince(state, Number.NEGATIVE_INFINITY);
  const stacked = stackKg(wood);
  const spreadKg =
    weighedKg === null && stacked !== null && endMs !== null && usualIntervalMs !== null
      ? (stacked * count) / (count + endMs / usualIntervalMs)
      : null;
  const inKg = weighedKg ?? spreadKg;
  const perFaceCord = kgPerFaceCord(wood);
  const leftKg = weighedKg === null || stacked === null ? null : Math.max(0, stacked - weighedKg);
  const pace = paceOf(state, at);
  return {
    stokes: count,
    seenOnly: logged === 0,
    spread: weighedKg === null && spreadKg !== null,
    inKg,
    kgPerFaceCord: perFaceCord,
    heatMJ: inKg === null ? null : inKg * usableMJPerKg(wood),
    leftKg,
    kgPerH: pace?.kgPerH ?? null,
    climbCPerFaceCord: pace && perPart(now.smoothC, pace.from.smoothC, pace.kg / perFaceCord),
    conesPerFaceCord: pace && perPart(now.coneValue, pace.from.coneValue, pace.kg / perFaceCord),
    lastsMs: leftKg === null || !pace || pace.kgPerH <= 0 ? null : (leftKg / pace.kgPerH) * HOUR_MS,
    toEndMs: endMs,
  };
}

/** What went up for each of `parts`; null where one is not known or nothing went in. */
function perPart(now: number | null, before: number | null, parts: number): number | null {
  return now === null || before === null || parts <= 0 ? null : (now - before) / parts;
}

/** Wood of the last two hours, or of one at least, and how the kiln stood before it. */
function paceOf(state: FiringState, at: number) {
  for (const spanMs of [PACE_MS, LEAST_PACE_MS]) {
    const from = minuteAt(state.stoking, at - spanMs);
    const kg = from && woodSince(state, at - spanMs);
    if (from && kg !== null && kg > 0) return { from, kg, kgPerH: (kg * HOUR_MS) / spanMs };
  }
  return null;
}
