/** A firing at one moment, with how fresh it is: all that the screen shows is made from this. */
import type { LinkStanding } from '../protocol/live-messages.ts';
import type { Entry, Firing } from './firing.ts';
import { type Freshness, freshnessOf } from './freshness.ts';
import { withWaiting } from './outbox.ts';
import type { PageState } from './state.ts';

export interface Moment {
  firing: Firing;
  /** The log book with what is on its way. */
  log: Entry[];
  /** Firing time, epoch ms. */
  now: number;
  fresh: Pick<Freshness, 'ageMs' | 'stale' | 'quietForMs'> & Partial<Pick<Freshness, 'knownAt'>>;
  links: LinkStanding[];
}

/** The firing that burns now; null before the collector has told of one. */
export function liveMoment(state: PageState): Moment | null {
  const fresh = freshnessOf(state);
  const { firing, links, outbox } = state;
  if (firing === null || fresh.now === null) return null;
  return { firing, log: withWaiting(firing.log, outbox, firing.summary.id), now: fresh.now, fresh, links };
}
