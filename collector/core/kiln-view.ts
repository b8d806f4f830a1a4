/** The kiln as the rules of the alerts look at it. */
import type { KilnView } from '../../alerts/view.ts';
import { coldJunctionDoubt } from './cold-junction.ts';
import { coupleLimitC } from './couple/convert.ts';
import { doubtOf, faultOf, type KilnNow } from './figures.ts';
import { probeLevelC } from './probe.ts';
import { type FiringState, isWorking } from './state.ts';
import { followStillness, stillnessAt } from './stillness.ts';

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
  const view: Omit<KilnView, 'still'> = {
    at,
    plan: state.plan,
    stage: state.stage.stage,
    kiln,
    probes: state.probes.map((probe) => ({
      probe: probe.label,
      working: isWorking(state, probe, at),
      pulled: probe.pulled,
      smoothC: probeLevelC(probe.track),
      nearLimitC: coupleLimitC(probe.track.spec.couple) - NEAR_LIMIT_C,
      fault: faultOf(state, probe, at),
      doubt: doubtOf(state, probe, at),
    })),
    boards: state.boards.map(({ board, periodMs, lastReadingAt, coldJunctionC, cold }) => ({
      board,
      periodMs,
      lastReadingAt,
      coldJunctionC,
      coldDoubt: coldJunctionDoubt(cold, at),
    })),
    hotForMs: state.hot.forMs,
    sinceHoldMs: at - state.stage.heldUntil,
    noCoupleLeft: state.probes.length > 0 && state.probes.every((probe) => probe.pulled),
    toSaltingMs,
    salt,
    draws,
    stoke,
    damperAt: state.logged.damperAt,
    archiveTrouble: state.archiveTrouble,
    phoneTrouble: state.phoneTrouble,
  };
  followStillness(state.stillness, view);
  return { ...view, still: stillnessAt(state.stillness, at) };
}
