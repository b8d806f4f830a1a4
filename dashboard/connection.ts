/**
 * Keeps the page connected for ever: one state machine and one timer.
 *
 *     connecting --open--> open --close, error or 15 s of silence--> lost --back-off--> connecting …
 *                                \--close 4001--> old page (stays)
 */
import { OLD_PAGE } from '../protocol/live-messages.ts';
import type { Standing } from './state.ts';

/** The part of a WebSocket that is used. */
export interface Socket {
  onopen: (() => void) | null;
  onmessage: ((event: { data: unknown }) => void) | null;
  onclose: ((event: { code: number }) => void) | null;
  onerror: (() => void) | null;
  send(text: string): void;
  close(): void;
}

export interface ConnectionParts {
  /** Opens a new socket; may throw. */
  dial(): Socket;
  /** Calls once after so many wall milliseconds; the answer cancels. */
  after(delayMs: number, fn: () => void): () => void;
  /** 0 … 1, so that many pages do not all come back in the same instant. */
  chance(): number;
  /** The first thing that is said on each new socket. */
  greeting(): string;
  heard(text: string): void;
  standing(standing: Standing): void;
}

export interface Connection {
  /** True if it was handed to an open socket. */
  send(text: string): boolean;
  /** The network or the screen has come back: do not wait out the back-off. */
  retryNow(): void;
}

const FIRST_WAIT_MS = 500;
const LONGEST_WAIT_MS = 15_000;
/** The collector beats every second: a socket that says nothing for so long is dead, whatever it says of itself. */
const SILENCE_MS = 15_000;

export function keepConnected(parts: ConnectionParts): Connection {
  let socket: Socket | null = null;
  let state: Standing = 'lost';
  let tries = 0;
  let cancelTimer: () => void = () => undefined;

  const setTimer = (delayMs: number, fn: () => void) => {
    cancelTimer();
    cancelTimer = parts.after(delayMs, fn);
  };

  const become = (next: Standing) => {
    state = next;
    parts.standing(next);
  };

  const letGo = () => {
    const old = socket;
    socket = null;
    if (!old) return;
    old.onopen = old.onmessage = old.onclose = old.onerror = null;
    try {
      old.close();
    } catch {
      // It is closed already, which is all that was wanted.
    }
  };

  const lose = () => {
    letGo();
    become('lost');
    const waitMs = Math.min(LONGEST_WAIT_MS, FIRST_WAIT_MS * 2 ** tries);
    tries += 1;
    setTimer(waitMs * (0.75 + 0.25 * parts.chance()), connect);
  };

  const connect = () => {
    letGo();
    become('connecting');
    setTimer(SILENCE_MS, lose);
    try {
      const fresh = parts.dial();
      socket = fresh;
      fresh.onopen = () => {
        fresh.send(parts.greeting());
        setTimer(SILENCE_MS, lose);
        become('open');
      };
      fresh.onmessage = ({ data }) => {
        tries = 0;
        setTimer(SILENCE_MS, lose);
        if (typeof data === 'string') parts.heard(data);
      };
      // `error` is always followed by `close`, but not in every browser while dialling: the first of them counts.
      fresh.onerror = lose;
      fresh.onclose = ({ code }) => {
        if (code !== OLD_PAGE) return lose();
        letGo();
        cancelTimer();
        become('old-page');
      };
    } catch {
      lose();
    }
  };

  connect();
  return {
    send(text) {
      if (state !== 'open' || !socket) return false;
      try {
        socket.send(text);
        return true;
      } catch {
        return false;
      }
    },
    retryNow() {
      if (state !== 'lost') return;
      tries = 0;
      connect();
    },
  };
}
