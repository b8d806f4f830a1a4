/** What came over a link, and what a boot judges it to be. */
import type { RawValue } from '../../protocol/probes.ts';

/** A reading as it came, with its arrival. */
export interface Arrived {
  kind: 'reading';
  at: number;
  text: string;
  seq: number;
  uptimeMs: number;
  coldJunctionC: number | null;
  values: RawValue[];
}

/** A press as it came, with its arrival. */
export interface ArrivedPress {
  kind: 'button';
  at: number;
  text: string;
  seq: number;
  uptimeMs: number;
  button: number;
}

/** What a reading is to a boot, with its seq and uptime carried on. `unfit`: of this boot it is not, or may not be. */
export interface Judged {
  verdict: 'live' | 'late' | 'duplicate' | 'unfit';
  seq: number;
  uptimeMs: number;
}
