/**
 * What is done to hold on to a board on a serial port, as a reducer: whatever breaks, the port is opened again.
 * What it does as any other link does is in `held.ts`. A connection is new each time (`id`): what is still told of one
 * that was let go of is not heard. Pure: `serial.ts` is the hands. Times are epoch ms of firing time.
 */
import { basename } from 'node:path';
import { CLOSING_MS, CONFIRM_MS, isStuck, mayListen, tell, WATCH_MS, wait } from './held.ts';
import { isGarbled } from './port-lines.ts';
import { missingPort, portTrouble } from './port-trouble.ts';
import type { Examined, PortEffect, PortEvent, PortState } from './serial-state.ts';

/** Bluetooth may take many seconds; a second try beside the first would only hold up more threads. */
const SLOW_OPENING_MS = 10_000;
/** How long the board's by-id name must be gone before another board at the given path is taken in its place. */
const STRANGER_MS = 30_000;

/** Moves the port on by one event at `at`; the state is changed in place. The effects are to be done in this order. */
export function portStep(state: PortState, event: PortEvent, at: number): PortEffect[] {
  const out: PortEffect[] = [];
  switch (event.kind) {
    case 'start':
      tell(state, out, 'connecting', `Opening ${state.path}.`);
      begin(state, out);
      break;
    case 'timer':
      takeTimer(state, out);
      break;
    case 'looked':
      if (state.phase !== 'opening') break;
      if (state.closing) wait(state, out);
      else chooseTarget(state, event.there, at, out);
      break;
    case 'opened':
      takeOpened(state, event, out);
      break;
    case 'failed':
      if (state.phase !== 'opening') break;
      tell(
        state,
        out,
        'unplugged',
        portTrouble(
          event.facts.node === 'missing' ? state.path : event.tried,
          event.message,
          event.facts,
          state.wasOpen,
        ),
      );
      wait(state, out);
      break;
    case 'broken':
      if (state.up?.id === event.id) lose(state, at, out);
      break;
    case 'shut':
      if (state.phase === 'shutting' && state.shutting === event.id) wait(state, out);
      break;
    case 'looked-after':
      if (state.phase !== 'up') tell(state, out, 'unplugged', lostText(state, event.gone));
      break;
    case 'examined':
      if (state.up?.id === event.id) takeExamined(state, state.up, event.found, at, out);
      break;
    case 'reopen':
      if (state.up === null) break;
      tell(state, out, 'connecting', `Nothing came from ${state.path}: opening it again.`);
      state.failures = 0;
      shut(state, state.up.id, out);
      break;
    case 'close':
      takeClose(state, out);
      break;
  }
  return out;
}

function begin(state: PortState, out: PortEffect[]): void {
  state.phase = 'opening';
  out.push({ kind: 'timer', ms: SLOW_OPENING_MS });
  if (state.stableName === null) out.push({ kind: 'open', target: state.path });
  else out.push({ kind: 'look-for', path: state.stableName });
}

/** The board by its own name while that is there, else the path that was given. */
function chooseTarget(state: PortState, there: boolean, at: number, out: PortEffect[]): void {
  const own = state.stableName ?? state.path;
  if (there) out.push({ kind: 'open', target: own });
  else if (at - state.lostAt < STRANGER_MS) out.push({ kind: 'fail', tried: own });
  else out.push({ kind: 'open', target: state.path });
}

function takeTimer(state: PortState, out: PortEffect[]): void {
  const { phase, path } = state;
  if (phase === 'waiting') begin(state, out);
  else if (phase === 'shutting') wait(state, out);
  else if (phase === 'opening' && state.closing) wait(state, out);
  else if (phase === 'opening')
    tell(state, out, 'unplugged', `${path} does not open yet: unplug the board and plug it in again.`);
  else if (phase === 'up' && state.up !== null) out.push({ kind: 'examine', id: state.up.id });
}

function takeOpened(
  state: PortState,
  { id, target, known }: Extract<PortEvent, { kind: 'opened' }>,
  out: PortEffect[],
): void {
  if (target === state.path) state.stableName = known;
  if (state.closing || state.phase !== 'opening') {
    // Too late: whoever waited for it has gone.
    out.push({ kind: 'shut', id });
    if (state.phase === 'opening') state.phase = 'shutting';
    state.shutting = id;
    return;
  }
  state.up = { id, target, confirmed: false, garbled: false };
  state.phase = 'up';
  out.push({ kind: 'timer', ms: CONFIRM_MS });
}

/** Goes on to wait (or ends) when the port is closed or takes too long for it. */
function shut(state: PortState, id: number, out: PortEffect[]): void {
  state.up = null;
  state.phase = 'shutting';
  state.shutting = id;
  out.push({ kind: 'timer', ms: CLOSING_MS }, { kind: 'shut', id });
}

function lose(state: PortState, at: number, out: PortEffect[]): void {
  if (state.up === null) return;
  const { id } = state.up;
  state.lostAt = at;
  out.push({ kind: 'look-after', id });
  shut(state, id, out);
}

function lostText({ path }: PortState, gone: boolean): string {
  return gone
    ? missingPort(path, true)
    : `The connection to ${path} broke off: check the cable; Spyhole tries again by itself.`;
}

/** Looks after an open connection: still open, still there, still draining, and making sense. */
function takeExamined(
  state: PortState,
  up: NonNullable<PortState['up']>,
  found: Examined,
  at: number,
  out: PortEffect[],
): void {
  if (!found.isOpen || !found.samePlace) {
    lose(state, at, out);
    return;
  }
  if (isStuck(state, found.unsentForMs, at)) {
    shut(state, up.id, out);
    return;
  }
  if (up.confirmed) state.failures = 0;
  up.confirmed = true;
  state.wasOpen = true;
  up.garbled = isGarbled(found, up.garbled);
  tell(state, out, 'open', openText(state, up, found.device, at));
  out.push({ kind: 'timer', ms: WATCH_MS });
}

function openText(state: PortState, up: NonNullable<PortState['up']>, device: string, at: number): string {
  const { path, baudRate, stableName } = state;
  if (!mayListen(state, at))
    return `${path} is open, but takes nothing from us: a lamp or buzzer on the board stays silent.`;
  if (up.garbled)
    return `What comes from ${path} is no text: the speed is likely wrong; it is ${baudRate} baud now, give the board's own with --baud.`;
  if (stableName === null) return `${path} is open.`;
  const was = device === path ? '' : ` (it was ${path})`;
  return `The board known as ${basename(stableName)} is open at ${device}${was}; it may be plugged in at any socket.`;
}

function takeClose(state: PortState, out: PortEffect[]): void {
  if (state.closing) return;
  state.closing = true;
  if (state.up !== null) shut(state, state.up.id, out);
  else if (state.phase === 'waiting') wait(state, out);
  else if (state.phase === 'opening') out.push({ kind: 'timer', ms: CLOSING_MS });
}
