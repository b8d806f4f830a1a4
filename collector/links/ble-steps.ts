/**
 * What is done to hold on to a board over Bluetooth low energy, as a reducer: it is looked for and connected again for
 * ever.
 *
 *     waiting --back-off--> opening --> up --gone, stuck, reopen--> shutting --> waiting
 *        ^                     |
 *        +-- failed, too long -+        close leads to `closed` from everywhere
 *
 * There is one phase, and one timer, which belongs to the phase. Each try has its number: what is still told of one that
 * was let go of is not heard. Pure: `ble.ts` is the hands. Times are ms of firing time.
 */
import type { LinkStanding } from '../../protocol/live-messages.ts';

const BACKOFF_MS = { first: 500, last: 10_000 };
/** A radio may look for a board for a good while. */
const OPENING_MS = 45_000;
/** A connection that ends at once is none. */
const CONFIRM_MS = 250;
const WATCH_MS = 2_000;
const CLOSING_MS = 3_000;
/** Writing has waited for so long: the board is connected anew... */
const STUCK_MS = 5_000;
const STUCK_REAL_MS = 1_000;
/** ...and nothing is written to it for this long. */
const DEAF_MS = 600_000;

export type BleEvent =
  | { kind: 'start' | 'timer' | 'reopen' | 'close' }
  | { kind: 'opened' | 'gone' | 'shut'; id: number }
  | { kind: 'failed'; id: number; text: string }
  | { kind: 'examined'; id: number; isOpen: boolean; unsentForMs: number };

export type BleEffect =
  | { kind: 'timer'; ms: number | null }
  | { kind: 'tell'; state: LinkStanding['state']; text: string }
  | { kind: 'open' | 'examine' | 'abandon' | 'shut'; id: number }
  | { kind: 'done' };

export interface BleState {
  readonly device: string;
  /** Firing seconds in a real one. */
  readonly clockRate: number;
  phase: 'waiting' | 'opening' | 'up' | 'shutting' | 'closed';
  /** Number of the try that counts. */
  id: number;
  failures: number;
  confirmed: boolean;
  deafUntil: number;
  told: string;
  closing: boolean;
}

export function newBleState(device: string, clockRate: number): BleState {
  return {
    device,
    clockRate,
    phase: 'waiting',
    id: 0,
    failures: 0,
    confirmed: false,
    deafUntil: Number.NEGATIVE_INFINITY,
    told: '',
    closing: false,
  };
}

/** Whether anything may be written by now. */
export function mayWrite(state: BleState, at: number): boolean {
  return state.phase === 'up' && at >= state.deafUntil;
}

/** Moves on by one event at `at`; the state is changed in place. The effects are to be done in this order. */
export function bleStep(state: BleState, event: BleEvent, at: number): BleEffect[] {
  const out: BleEffect[] = [];
  const current = 'id' in event && event.id === state.id;
  switch (event.kind) {
    case 'start':
      tell(state, out, 'connecting', `Looking for ${state.device} over Bluetooth.`);
      begin(state, out);
      break;
    case 'timer':
      takeTimer(state, out);
      break;
    case 'opened':
      if (current && state.phase === 'opening') {
        state.phase = 'up';
        state.confirmed = false;
        out.push({ kind: 'timer', ms: CONFIRM_MS });
      } else out.push({ kind: 'shut', id: event.id });
      break;
    case 'failed':
      if (!current || state.phase !== 'opening') break;
      tell(state, out, 'unplugged', event.text);
      wait(state, out);
      break;
    case 'gone':
      if (current && state.phase === 'up') lose(state, out);
      break;
    case 'shut':
      if (current && state.phase === 'shutting') wait(state, out);
      break;
    case 'examined':
      if (current && state.phase === 'up') takeExamined(state, event, at, out);
      break;
    case 'reopen':
      if (state.phase !== 'up') break;
      tell(state, out, 'connecting', `Nothing came from ${state.device}: connecting it again.`);
      state.failures = 0;
      shut(state, out);
      break;
    case 'close':
      takeClose(state, out);
      break;
  }
  return out;
}

function tell(state: BleState, out: BleEffect[], standing: LinkStanding['state'], text: string): void {
  const told = `${standing} ${text}`;
  if (state.closing || state.told === told) return;
  state.told = told;
  out.push({ kind: 'tell', state: standing, text });
}

function begin(state: BleState, out: BleEffect[]): void {
  state.phase = 'opening';
  state.id += 1;
  out.push({ kind: 'timer', ms: OPENING_MS }, { kind: 'open', id: state.id });
}

function takeTimer(state: BleState, out: BleEffect[]): void {
  switch (state.phase) {
    case 'waiting':
      begin(state, out);
      break;
    case 'opening':
      out.push({ kind: 'abandon', id: state.id });
      tell(state, out, 'unplugged', `${state.device} does not answer over Bluetooth: switch it off and on.`);
      wait(state, out);
      break;
    case 'up':
      out.push({ kind: 'examine', id: state.id });
      break;
    case 'shutting':
      wait(state, out);
      break;
    case 'closed':
      break;
  }
}

function takeExamined(
  state: BleState,
  { isOpen, unsentForMs }: { isOpen: boolean; unsentForMs: number },
  at: number,
  out: BleEffect[],
): void {
  if (!isOpen) {
    lose(state, out);
    return;
  }
  if (unsentForMs > Math.max(STUCK_MS, STUCK_REAL_MS * state.clockRate)) {
    state.deafUntil = at + DEAF_MS;
    shut(state, out);
    return;
  }
  if (state.confirmed) state.failures = 0;
  state.confirmed = true;
  tell(
    state,
    out,
    'open',
    at < state.deafUntil
      ? `${state.device} is connected, but takes nothing from us: a lamp or buzzer on the board stays silent.`
      : `${state.device} is connected over Bluetooth.`,
  );
  out.push({ kind: 'timer', ms: WATCH_MS });
}

function lose(state: BleState, out: BleEffect[]): void {
  tell(
    state,
    out,
    'unplugged',
    `${state.device} is out of reach: bring it nearer, or look at its supply; Spyhole tries again by itself.`,
  );
  shut(state, out);
}

function shut(state: BleState, out: BleEffect[]): void {
  state.phase = 'shutting';
  out.push({ kind: 'timer', ms: CLOSING_MS }, { kind: 'shut', id: state.id });
}

function wait(state: BleState, out: BleEffect[]): void {
  if (state.closing) {
    state.phase = 'closed';
    out.push({ kind: 'timer', ms: null }, { kind: 'done' });
    return;
  }
  state.phase = 'waiting';
  out.push({ kind: 'timer', ms: Math.min(BACKOFF_MS.first * 2 ** state.failures, BACKOFF_MS.last) });
  state.failures += 1;
}

function takeClose(state: BleState, out: BleEffect[]): void {
  if (state.closing) return;
  state.closing = true;
  if (state.phase === 'up') shut(state, out);
  else if (state.phase === 'opening') {
    out.push({ kind: 'abandon', id: state.id });
    wait(state, out);
  } else if (state.phase === 'waiting') wait(state, out);
}
