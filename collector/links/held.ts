/**
 * What every link that is held on to does alike, be it a port or a radio: it waits longer after each failure, tells a
 * sentence once, lets a board that takes nothing be, and ends when it is told to.
 *
 *     waiting --back-off--> opening --> up --broken, gone, stuck, reopen--> shutting --> waiting
 *        ^                     |
 *        +------- failed ------+           close leads to `closed` from everywhere
 *
 * There is one phase, and one timer, which belongs to the phase. Times are ms of firing time.
 */
import type { LinkStanding } from '../../protocol/live-messages.ts';

const BACKOFF_MS = { first: 500, last: 10_000 };
/** A connection that opens and ends at once is none. */
export const CONFIRM_MS = 250;
export const WATCH_MS = 2_000;
/** What does not close is left to itself. */
export const CLOSING_MS = 3_000;
/** Output has waited for so long: the board is connected anew... */
const STUCK_MS = 5_000;
/** ...and nothing is sent to it for this long. */
const DEAF_MS = 600_000;
/** However fast the clock runs, a machine takes its time to hand bytes on. */
const STUCK_REAL_MS = 1_000;

export interface Held {
  /** Firing seconds in a real one. */
  readonly clockRate: number;
  phase: 'waiting' | 'opening' | 'up' | 'shutting' | 'closed';
  failures: number;
  deafUntil: number;
  told: string;
  closing: boolean;
}

/** What happens to every link. `timer`: the one that was set last has run out. */
export type HeldEvent = { kind: 'start' | 'timer' | 'reopen' | 'close' };

/** What is to be done for every link. A timer takes the place of the one before; null: there is none. */
export type HeldEffect =
  | { kind: 'timer'; ms: number | null }
  | { kind: 'tell'; state: LinkStanding['state']; text: string }
  | { kind: 'done' };

type Out = { push(...effects: HeldEffect[]): unknown };

export function newHeld(clockRate: number): Held {
  return {
    clockRate,
    phase: 'waiting',
    failures: 0,
    deafUntil: Number.NEGATIVE_INFINITY,
    told: '',
    closing: false,
  };
}

/** Whether anything may be sent by now. */
export function mayListen(held: Held, at: number): boolean {
  return at >= held.deafUntil;
}

/** Tells how the link stands, unless that was the last that was told. */
export function tell(held: Held, out: Out, standing: LinkStanding['state'], text: string): void {
  const told = `${standing} ${text}`;
  if (held.closing || held.told === told) return;
  held.told = told;
  out.push({ kind: 'tell', state: standing, text });
}

/** Tries again after a while; or ends, if it is to be closed. */
export function wait(held: Held, out: Out): void {
  if (held.closing) {
    held.phase = 'closed';
    out.push({ kind: 'timer', ms: null }, { kind: 'done' });
    return;
  }
  held.phase = 'waiting';
  out.push({ kind: 'timer', ms: Math.min(BACKOFF_MS.first * 2 ** held.failures, BACKOFF_MS.last) });
  held.failures += 1;
}

/** Whether output has waited too long; if so, the link is left in peace from now on. */
export function isStuck(held: Held, unsentForMs: number, at: number): boolean {
  if (unsentForMs <= Math.max(STUCK_MS, STUCK_REAL_MS * held.clockRate)) return false;
  held.deafUntil = at + DEAF_MS;
  return true;
}
