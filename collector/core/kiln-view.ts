/** The kiln as the rules of the alerts look at it. */
import type { KilnView } from '../../alerts/view.ts';
import { HOUR_MS } from '../../protocol/units.ts';
import { coupleLimitC } from './couple/convert.ts';
import { faultOf, type KilnNow } from './figures.ts';
import { medianInterval } from './log-book.ts';
import { probeLevelC } from './probe.ts';
import { type FiringState, isWorking } from './state.ts';

/** `over-heat` of a probe begins so far below the top of its couple's range. */
const NEAR_LIMIT_C = 20;
/** A stoke that was logged counts as known for so long; after that the signal is asked. */
const LOGGED_LATELY_MS = 2 * HOUR_MS;

type StokeFacts = KilnView['stoke'] & { seenOrLoggedAt: number | null };

/** What is so at `at`, epoch ms. `toSaltingMs`: from then to salting heat, null where it cannot be said. */
export function kilnView(
  state: FiringState,
  kiln: KilnNow,
  stoke: StokeFacts,
  toSaltingMs: number | null,
  at: number,
): KilnView {
  const { salt, draws } = state.logged;
  return {
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
    })),
    boards: state.boards,
    hotForMs: state.hot.forMs,
    sinceHoldMs: at - state.stage.heldUntil,
    noCoupleLeft: state.probes.length > 0 && state.probes.every((probe) => probe.pulled),
    toSaltingMs,
    salt,
    draws,
    stoke,
    archiveTrouble: state.archiveTrouble,
    phoneTrouble: state.phoneTrouble,
  };
}

/** The rhythm by what was logged lately, else by what the signal shows. */
export function stokeFacts(state: FiringState, at: number): StokeFacts {
  const logged = state.logged.rhythm;
  const seenAt = state.seenStokes.at(-1) ?? null;
  const byLog = logged.lastAt !== null && at - logged.lastAt < LOGGED_LATELY_MS;
  const fallen = state.turns.rising === false;
  return {
    lastAt: byLog ? logged.lastAt : seenAt,
    logged: byLog,
    medianIntervalMs: byLog ? logged.medianIntervalMs : medianInterval(state.seenStokes),
    turnedDownAt: fallen ? state.turns.highAt : null,
    fallenC: fallen ? state.turns.highC - state.turns.extremeC : 0,
    seenOrLoggedAt: logged.lastAt === null ? seenAt : Math.max(logged.lastAt, seenAt ?? 0),
  };
}
