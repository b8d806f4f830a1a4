/** The kiln as the rules of the alerts look at it. */
import type { BoardView, KilnView, ProbeView } from '../../alerts/view.ts';
import { coldJunctionDoubt } from './cold-junction.ts';
import { coupleLimitC } from './couple/convert.ts';
import { doubtOf, faultOf, type KilnNow } from './figures.ts';
import { probeLevelC } from './probe.ts';
import { type BoardState, type FiringState, isWorking, type ProbeState } from './state.ts';
import { followStillness, type StillView, stillnessAt } from './stillness.ts';

/** `over-heat` of a probe begins so far below the top of its couple's range. */
const NEAR_LIMIT_C = 20;
/**
 * What is so at `at`, epoch ms. `toSaltingMs`: from then to salting heat, null where it cannot be said. The test for
 * standing still is taken on to that time.
 */
export function kilnView(
  state: FiringState,
  kiln: KilnNow,
  stoke: KilnView['stoke'],
  toSaltingMs: number | null,
  at: number,
): KilnView {
  const { salt, draws } = state.logged;
  const driven: StillView = {
    at,
    plan: state.plan,
    stage: state.stage.stage,
    kiln,
    hotForMs: state.hot.forMs,
    sinceHoldMs: at - state.stage.heldUntil,
    noCoupleLeft: state.probes.length > 0 && state.probes.every((probe) => probe.pulled),
  };
  followStillness(state.stillness, driven);
  // Written out: this is made twice a second, and to spread so many fields costs as much as all the rest.
  return {
    at,
    plan: driven.plan,
    stage: driven.stage,
    kiln,
    still: stillnessAt(state.stillness, at),
    probes: state.probes.map((probe) => probeView(state, probe, at)),
    boards: state.boards.map(boardView(at)),
    hotForMs: driven.hotForMs,
    sinceHoldMs: driven.sinceHoldMs,
    noCoupleLeft: driven.noCoupleLeft,
    toSaltingMs,
    salt,
    draws,
    stoke,
    damperAt: state.logged.damperAt,
    archiveTrouble: state.archiveTrouble,
    phoneTrouble: state.phoneTrouble,
  };
}

function probeView(state: FiringState, probe: ProbeState, at: number): ProbeView {
  return {
    probe: probe.label,
    working: isWorking(state, probe, at),
    pulled: probe.pulled,
    smoothC: probeLevelC(probe.track),
    nearLimitC: coupleLimitC(probe.track.spec.couple) - NEAR_LIMIT_C,
    fault: faultOf(state, probe, at),
    doubt: doubtOf(state, probe, at),
  };
}

const boardView =
  (at: number) =>
  ({ board, periodMs, lastReadingAt, coldJunctionC, cold }: BoardState): BoardView => ({
    board,
    periodMs,
    lastReadingAt,
    coldJunctionC,
    coldDoubt: coldJunctionDoubt(cold, at),
  });
