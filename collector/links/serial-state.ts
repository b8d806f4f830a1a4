/** What is known of a serial port that is held on to, what can happen to it, and what is to be done. See serial-steps.ts. */
import type { LinkStanding } from '../../protocol/live-messages.ts';
import type { PortFacts } from './port-trouble.ts';

/** What was found out about a connection that is up. */
export interface Examined {
  isOpen: boolean;
  /** What is at the path that was opened is still the same thing. */
  samePlace: boolean;
  /** For how long output has waited, ms. */
  unsentForMs: number;
  /** Bytes since the last look, and how many of them are no text. */
  bytes: number;
  odd: number;
  /** Where the port's path leads to by now. */
  device: string;
}

export type PortEvent =
  | { kind: 'start' | 'reopen' | 'close' }
  /** The timer that was set last has run out. */
  | { kind: 'timer' }
  /** Whether the board is there by its own name. */
  | { kind: 'looked'; there: boolean }
  /** `known`: the by-id name of the path that was opened. */
  | { kind: 'opened'; id: number; target: string; known: string | null }
  | { kind: 'failed'; tried: string; message: string; facts: PortFacts }
  /** The connection has told an error or its end. */
  | { kind: 'broken'; id: number }
  | { kind: 'shut'; id: number }
  /** Whether the port that broke has gone altogether. */
  | { kind: 'looked-after'; gone: boolean }
  | { kind: 'examined'; id: number; found: Examined };

export type PortEffect =
  | { kind: 'timer'; ms: number | null }
  | { kind: 'tell'; state: LinkStanding['state']; text: string }
  | { kind: 'look-for'; path: string }
  | { kind: 'open'; target: string }
  /** The path is taken for missing, though nobody has tried it. */
  | { kind: 'fail'; tried: string }
  | { kind: 'examine'; id: number }
  /** Lets go of the connection and closes its port. */
  | { kind: 'shut'; id: number }
  | { kind: 'look-after'; id: number }
  | { kind: 'done' };

export interface PortState {
  readonly path: string;
  readonly baudRate: number;
  /** Firing seconds in a real one. */
  readonly clockRate: number;
  phase: 'waiting' | 'opening' | 'up' | 'shutting' | 'closed';
  /** The connection that is being closed. */
  shutting: number | null;
  /** The connection that is up. */
  up: { id: number; target: string; confirmed: boolean; garbled: boolean } | null;
  failures: number;
  /** The board's own name, under /dev/serial/by-id. */
  stableName: string | null;
  wasOpen: boolean;
  lostAt: number;
  deafUntil: number;
  told: string;
  closing: boolean;
}

export function newPortState(options: { path: string; baudRate: number; clockRate: number }): PortState {
  return {
    ...options,
    phase: 'waiting',
    shutting: null,
    up: null,
    failures: 0,
    stableName: null,
    wasOpen: false,
    lostAt: Number.NEGATIVE_INFINITY,
    deafUntil: Number.NEGATIVE_INFINITY,
    told: '',
    closing: false,
  };
}
