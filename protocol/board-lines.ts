/** The board's lines, version 1: both directions, framed `$` body `*` CRC. */
import type { ProbeSpec, RawValue } from './probes.ts';

export interface Hello {
  board: string;
  boot: string;
  periodMs: number;
  keeps: number;
  probes: ProbeSpec[];
}

export type BoardLine =
  | { kind: 'hello'; hello: Hello }
  | { kind: 'reading'; seq: number; uptimeMs: number; coldJunctionC: number | null; values: RawValue[] }
  | { kind: 'button'; seq: number; uptimeMs: number; button: number }
  | { kind: 'missing'; from: number; to: number };

/** Lamp and buzzer: 0 quiet, 1 look soon, 2 come now. */
export type LampLevel = 0 | 1 | 2;

export type CollectorLine =
  | { kind: 'hello?' }
  | { kind: 'give'; from: number; to: number }
  | { kind: 'lamp'; level: LampLevel };
