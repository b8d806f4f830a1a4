/**
 * What the ways hear of alerts. When a firing is gone on with, and after a stretch in which this program did not run (a
 * lid that was closed), the core is ticked through the gap before any line of the board is taken: what it raises of that
 * (a board that is silent) may be over in a moment. So nobody is called at first; then what still stands is handed over,
 * and with it what stood unanswered before the restart, of which these ways have never heard.
 */
import { type Standings, stateOf } from '../../alerts/standing.ts';
import type { AlertOutput, StandingOutput } from '../core/inputs.ts';

/** A stretch without a look at the clock that leaves its mark on an alert: a board counts as silent after a minute. */
const PAUSED_REAL_MS = 30_000;
/** A board has so long to be heard again: a port is opened, a board restarts, a radio finds it. Our own choice. */
const HELD_BACK_REAL_MS = 30_000;

export interface Calls {
  /** It is `at` now (epoch ms, firing time), and nothing of that time has been worked off. */
  begin(at: number): void;
  tell(output: AlertOutput | StandingOutput): void;
  /** All up to `at` has been worked off. */
  done(at: number): void;
}

export interface CallsWish {
  /** Firing seconds in a real one. */
  rate: number;
  /** When the watch begins. */
  at: number;
  /** The firing is one that is gone on with. */
  goesOn: boolean;
  standings(): Standings;
  alert(output: AlertOutput | StandingOutput): void;
}

export function newCalls({ rate, at: startAt, goesOn, standings, alert }: CallsWish): Calls {
  let seenAt = startAt;
  let heldUntil = goesOn ? startAt + HELD_BACK_REAL_MS * rate : null;
  /** Ids of alerts that stand: of these the ways have heard, and these were raised while all was held back. */
  const told = new Set<string>();
  const untold = new Set<string>();

  function pass(output: AlertOutput | StandingOutput, id: string, calls: boolean): void {
    if (calls) told.add(id);
    if (output.kind === 'alert' && output.state === 'cleared') told.delete(id);
    alert(output);
  }

  return {
    begin(at) {
      if (at - seenAt > PAUSED_REAL_MS * rate) heldUntil = at + HELD_BACK_REAL_MS * rate;
      seenAt = Math.max(seenAt, at);
    },
    tell(output) {
      const { standing } = output;
      if (!standing) return;
      const { id } = standing;
      const calls = stateOf(standing) === 'unacknowledged';
      if (heldUntil !== null && output.kind === 'alert' && output.state === 'raised') untold.add(id);
      if (heldUntil === null || told.has(id) || !(calls || untold.has(id))) pass(output, id, calls);
    },
    done(at) {
      if (heldUntil === null || at < heldUntil) return;
      heldUntil = null;
      untold.clear();
      for (const standing of standings().alerts.values()) {
        if (stateOf(standing) !== 'unacknowledged' || told.has(standing.id)) continue;
        pass({ kind: 'standing', at, change: 'changed', standing: { ...standing } }, standing.id, true);
      }
    },
  };
}
