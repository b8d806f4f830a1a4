/** The salt of the moment that the page shows, counted by the core's own module: what is on its way counts as well. */
import {
  type DrawRing,
  isPastSalt,
  type LotHeat,
  type SaltCharge,
  type SaltCount,
  type SaltSay,
  saltCount,
  saltSay,
} from '../collector/core/salting-facts.ts';
import type { LoggedEntry } from '../protocol/firing-record.ts';
import { parseLogEntry } from '../protocol/log-entries.ts';
import { countingEntries, lastOf, pulledProbes } from './firing.ts';
import type { Moment } from './moment.ts';

/** The entries of one kind that count, with what they say. */
function knownIn(log: readonly LoggedEntry[], word: string) {
  return countingEntries(log).flatMap((row) => {
    const parsed = row.log === word ? parseLogEntry({ ...row.json, log: row.log }) : null;
    return parsed?.known ? [{ at: row.at, entry: parsed.entry }] : [];
  });
}

export function chargesIn(log: readonly LoggedEntry[]): SaltCharge[] {
  return knownIn(log, 'salt').flatMap(({ at, entry }) =>
    entry.log === 'salt' ? [{ at, hole: entry.hole, g: entry.g ?? null }] : [],
  );
}

export function ringsIn(log: readonly LoggedEntry[]): DrawRing[] {
  return knownIn(log, 'draw').flatMap(({ at, entry }) =>
    entry.log === 'draw'
      ? [{ at, thickness: entry.thickness ?? null, orangePeel: entry.orangePeel === true }]
      : [],
  );
}

/** The salt so far. */
export function saltOf({ firing, log, now }: Pick<Moment, 'firing' | 'log' | 'now'>): SaltCount {
  return saltCount(chargesIn(log), ringsIn(log), firing.plan, now);
}

/** The salt, the heat around its newest lot, and what to do. */
export interface SaltNow {
  count: SaltCount;
  heat: LotHeat | null;
  say: SaltSay;
}

export function saltNow(moment: Moment): SaltNow {
  const { firing, log, fresh } = moment;
  const count = saltOf(moment);
  const isUp = (name: string) =>
    firing.alerts.some(({ alert, clearedAt }) => alert.name === name && clearedAt === null);
  const { smoothC: levelC } = firing.kiln;
  const { saltingStartC } = firing.plan;
  const heat = count.charges === 0 ? null : firing.saltHeat;
  const ended = lastOf(log, 'end-salt');
  const say = saltSay(count, heat, {
    levelC: fresh.stale ? null : levelC,
    topC: firing.plan.topC,
    paused: isUp('salt-pause'),
    hot: isUp('salting-window') || (saltingStartC !== null && levelC !== null && levelC >= saltingStartC),
    over: isPastSalt(firing.stage) || (ended !== null && ended.at >= (count.lastAt ?? ended.at)),
  });
  return { count, heat, say };
}

/** From so far below the salting start on the salt is at hand: nobody salts colder, °C. Our own choice. */
const AT_HAND_BELOW_C = 200;

/**
 * Whether salt may go in before long, so that its buttons stand under the thumbs. Once it may, it stays so: the kiln's
 * highest so far decides, and where no couple is left nobody can say that it is too cold.
 */
export function saltIsAtHand(
  { firing, log }: Pick<Moment, 'firing' | 'log'>,
  kilnC: readonly (number | null | undefined)[],
): boolean {
  const { stage, plan, probes } = firing;
  if (['salting', 'soak'].includes(stage) || log.some((row) => row.log === 'salt' && !row.undone))
    return true;
  if (stage === 'before' || stage === 'candling') return false;
  const pulled = pulledProbes(log);
  if (plan.saltingStartC === null || probes.every(({ name }) => pulled.has(name))) return true;
  const fromC = plan.saltingStartC - AT_HAND_BELOW_C;
  return kilnC.some((cell) => typeof cell === 'number' && cell >= fromC);
}
