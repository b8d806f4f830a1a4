/**
 * What is done to hold on to a board over Bluetooth low energy, as a reducer: it is looked for and connected again for
 * ever.
 * What it does as any other link does is in `held.ts`. Each try has its number: what is still told of one that was let
 * go of is not heard. Pure: `ble.ts` is the hands. Times are ms of firing time.
 */
import {
  CLOSING_MS,
  CONFIRM_MS,
  type Held,
  type HeldEffect,
  type HeldEvent,
  isStuck,
  mayListen,
  newHeld,
  tell,
  WATCH_MS,
  wait,
} from './held.ts';

/** A radio may look for a board for a good while. */
const OPENING_MS = 45_000;

export type BleEvent =
  | HeldEvent
  | { kind: 'opened' | 'gone' | 'shut'; id: number }
  | { kind: 'failed'; id: number; text: string }
  | { kind: 'examined'; id: number; isOpen: boolean; unsentForMs: number };

export type BleDeed = { kind: 'open' | 'examine' | 'abandon' | 'shut'; id: number };

export type BleEffect = HeldEffect | BleDeed;

export interface BleState extends Held {
  readonly device: string;
  /** Number of the try that counts. */
  id: number;
  confirmed: boolean;
}

export function newBleState(device: string, clockRate: number): BleState {
  return { ...newHeld(clockRate), device, id: 0, confirmed: false };
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
  if (isStuck(state, unsentForMs, at)) {
    shut(state, out);
    return;
  }
  if (state.confirmed) state.failures = 0;
  state.confirmed = true;
  tell(
    state,
    out,
    'open',
    !mayListen(state, at)
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

function takeClose(state: BleState, out: BleEffect[]): void {
  if (state.closing) return;
  state.closing = true;
  if (state.phase === 'up') shut(state, out);
  else if (state.phase === 'opening') {
    out.push({ kind: 'abandon', id: state.id });
    wait(state, out);
  } else if (state.phase === 'waiting') wait(state, out);
}
