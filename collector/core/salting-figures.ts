/** The salt as it is told: while it matters, four times a minute, and at once when something was logged. */
import { hotEnough } from '../../alerts/salting-heat.ts';
import { MINUTE_MS } from '../../protocol/units.ts';
import type { KilnNow } from './figures.ts';
import type { SaltingFigures } from './inputs.ts';
import { earlierLots, isPastSalt, lotHeat, saltCount, saltSay } from './salting-facts.ts';
import type { FiringState } from './state.ts';

const SAID_EVERY_MS = MINUTE_MS / 4;

/** The salt as it stands at `at`. */
function saltingFigures(state: FiringState, kiln: KilnNow, at: number): SaltingFigures {
  const { logged, plan } = state;
  const count = saltCount(logged.charges, logged.rings, plan, at);
  const beganAt = count.lots.at(-1);
  const heat = beganAt === undefined ? null : lotHeat(state.measured, beganAt, at);
  const say = saltSay(count, heat, {
    levelC: kiln.smoothC,
    topC: plan.topC,
    paused: [...state.standings.alerts.values()].some(
      ({ name, returnedAt }) => name === 'salt-pause' && returnedAt === null,
    ),
    hot: hotEnough({ plan, kiln }),
    over: logged.salt.ended || isPastSalt(state.stage.stage),
  });
  return { at, count, heat, earlier: earlierLots(state.measured, count.lots), say };
}

/** What is to be told at `at`, or null while what was told last still holds, and where no salt is in or may go in. */
export function saltingNews(state: FiringState, kiln: KilnNow, at: number): SaltingFigures | null {
  const { salting, logged } = state;
  const matters = logged.charges.length > 0 && !isPastSalt(state.stage.stage);
  const anew = salting.logged !== logged && (logged.charges.length > 0 || salting.say !== null);
  if (!matters && !anew) return null;
  if (!anew && at - salting.saidAt < SAID_EVERY_MS) return null;
  const figures = saltingFigures(state, kiln, at);
  state.salting = { saidAt: at, logged, say: figures.say };
  return figures;
}
