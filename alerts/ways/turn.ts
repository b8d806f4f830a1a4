/** What a change of an alert is to the ways. */
import type { AlertChange } from '../life.ts';
import { type Standing, type StandingChange, stateOf } from '../standing.ts';
import type { AlertTurn, Call } from './plan-of-ways.ts';

/** Null: nobody is to be told, for it was raised on its shelf or out of its stage. */
export function turnOfAlert(state: AlertChange['state'], standing: Standing): AlertTurn | null {
  if (state === 'cleared') return 'cleared';
  return stateOf(standing) === 'unacknowledged' ? 'raised' : null;
}

export function turnOfStanding({ change, standing }: StandingChange): AlertTurn | null {
  const state = stateOf(standing);
  if (change === 'eased' && state === 'acknowledged') return null;
  if (change === 'said') return state === 'unacknowledged' || state === 'acknowledged' ? 'said' : null;
  switch (state) {
    case 'unacknowledged':
      return 'raised';
    case 'acknowledged':
      return 'acknowledged';
    case 'shelved':
    case 'suppressed':
    case 'easing':
      return 'quiet';
    // It is over, and that was told when it cleared.
    default:
      return null;
  }
}

export function callOf(kiln: string, standing: Standing): Call {
  const { id, name, probe, priority, text, raisedAt, acknowledged } = standing;
  return { kiln, id, name, probe, priority, text, raisedAt, acknowledged };
}
