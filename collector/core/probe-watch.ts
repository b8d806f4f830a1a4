/** What only shows in minutes and hours, and beside the other probes: a step that stays, a couple that drifts. */
import { isBurning } from '../../protocol/stages.ts';
import { MINUTE_MS } from '../../protocol/units.ts';
import { newDriftWatch, noteLevels, watchDrift } from './drift.ts';
import { workInLate } from './probe.ts';
import { BUCKET_MS } from './slides.ts';
import { type FiringState, isWorking, type ProbeState } from './state.ts';
import { trackLevelC } from './track.ts';

/** A jump that still stands after this is a step. All figures are our own choice. */
const STAYS_MS = 5 * MINUTE_MS;
/** After so long without a good reading nobody knows whether it jumped. */
const UNSEEN_MS = 5 * MINUTE_MS;
/** So large, beside what the other probes did meanwhile; larger where no other can tell that it was not the kiln. */
const STEP_C = 60;
const STEP_ALONE_C = 100;
/** How long it is told. */
const TOLD_MS = 45 * MINUTE_MS;

/** Notes that the screen has believed a jump to `toC`. To be called before the probe takes the new value. */
export function noteJump(state: FiringState, probe: ProbeState, at: number, toC: number): void {
  probe.drift = newDriftWatch();
  const { jump, goodAt, goodC } = probe;
  const unseen = at - goodAt > UNSEEN_MS;
  const wentBack = jump !== null && jump.byC === null && Math.abs(toC - jump.fromC) < STEP_C;
  probe.jump =
    unseen || wentBack
      ? null
      : { at, fromC: goodC, othersC: othersC(state, probe, at, beforeC(at)), byC: null };
}

/** Where a probe stood before the jump that it may have made just now with the others. */
const beforeC =
  (at: number) =>
  (probe: ProbeState): number | null =>
    probe.jump && at - probe.jump.at < STAYS_MS ? probe.jump.fromC : smoothC(probe);

const smoothC = ({ track }: ProbeState): number | null => trackLevelC(track.line.track);
const lastC = ({ goodC }: ProbeState): number => goodC;

function othersC(
  state: FiringState,
  probe: ProbeState,
  at: number,
  of: (probe: ProbeState) => number | null,
): number | null {
  const levels = state.probes.flatMap((each) =>
    each !== probe && isWorking(state, each, at) ? (of(each) ?? []) : [],
  );
  return levels.length === 0 ? null : levels.reduce((sum, level) => sum + level, 0) / levels.length;
}

function followJump(state: FiringState, probe: ProbeState, at: number): void {
  const { jump } = probe;
  if (jump === null || at - jump.at < STAYS_MS) return;
  if (jump.byC === null) {
    const nowOthersC = othersC(state, probe, at, lastC);
    const besideC = jump.othersC === null || nowOthersC === null ? null : nowOthersC - jump.othersC;
    const byC = probe.goodC - jump.fromC - (besideC ?? 0);
    const stays = isBurning(state.stage.stage) && isWorking(state, probe, at);
    probe.jump =
      stays && Math.abs(byC) >= (besideC === null ? STEP_ALONE_C : STEP_C) ? { ...jump, byC } : null;
  } else if (at - jump.at > TOLD_MS) {
    probe.jump = null;
  }
}

/**
 * To be called at each reading that came in time, after its values were taken; looks once a minute. Not by ticks: late
 * readings come between those in no order that could be picked up again.
 */
export function watchProbes(state: FiringState, at: number): void {
  const minute = Math.floor(at / MINUTE_MS);
  const before = state.watchedMinute ?? minute;
  state.watchedMinute = minute;
  if (minute <= before) return;
  for (const probe of state.probes) {
    workInLate(probe.track);
    followJump(state, probe, at);
  }
  const watches = state.probes.map(({ drift }) => drift);
  const levels = state.probes.map((probe) => (isWorking(state, probe, at) ? smoothC(probe) : null));
  noteLevels(watches, levels);
  const buckets = Math.floor(at / BUCKET_MS) - Math.floor((before * MINUTE_MS) / BUCKET_MS);
  if (buckets > 0) watchDrift(watches, buckets, at, isBurning(state.stage.stage));
}

/** Begins anew with a probe that was put back, or is another one. */
export function forgetWatch(probe: ProbeState): void {
  probe.jump = null;
  probe.drift = newDriftWatch();
}
