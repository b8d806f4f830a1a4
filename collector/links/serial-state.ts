/** What is known of a serial port that is held on to, what can happen to it, and what is to be done. See serial-steps.ts. */
import { type Held, type HeldEffect, type HeldEvent, newHeld } from './held.ts';
import type { Tally } from './port-lines.ts';
import type { PortFacts } from './port-trouble.ts';

/** What was found out about a connection that is up, and its bytes since the last look. */
export interface Examined extends Tally {
  isOpen: boolean;
  /** What is at the path that was opened is still the same thing. */
  samePlace: boolean;
  /** For how long output has waited, ms. */
  unsentForMs: number;
  /** Where the port's path leads to by now. */
  device: string;
}

export type PortEvent =
  | HeldEvent
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

export type PortDeed =
  | { kind: 'look-for'; path: string }
  | { kind: 'open'; target: string }
  /** The path is taken for missing, though nobody has tried it. */
  | { kind: 'fail'; tried: string }
  | { kind: 'examine'; id: number }
  /** Lets go of the connection and closes its port. */
  | { kind: 'shut'; id: number }
  | { kind: 'look-after'; id: number };

export type PortEffect = HeldEffect | PortDeed;

export interface PortState extends Held {
  readonly path: string;
  readonly baudRate: number;
  /** The connection that is being closed. */
  shutting: number | null;
  /** The connection that is up. */
  up: { id: number; target: string; confirmed: boolean; garbled: boolean } | null;
  /** The board's own name, under /dev/serial/by-id. */
  stableName: string | null;
  wasOpen: boolean;
  lostAt: number;
}

export function newPortState({
  path,
  baudRate,
  clockRate,
}: {
  path: string;
  baudRate: number;
  clockRate: number;
}): PortState {
  return {
    ...newHeld(clockRate),
    path,
    baudRate,
    shutting: null,
    up: null,
    stableName: null,
    wasOpen: false,
    lostAt: Number.NEGATIVE_INFINITY,
  };
}
