/** Deeds that answer an alert by themselves: whoever puts salt in has heard that it is time to. */
import type { AlertName } from '../protocol/alert-names.ts';
import type { KnownLogEntry } from '../protocol/log-entries.ts';

type LogWord = KnownLogEntry['log'];

const ANSWERED_BY: Partial<Record<AlertName, readonly LogWord[]>> = {
  stall: ['hold', 'clam-up'],
  falling: ['hold', 'clam-up'],
  'climb-too-fast': ['clam-up'],
  'salting-soon': ['salt'],
  'salting-window': ['salt', 'end-salt'],
  'salt-pause': ['end-salt', 'clam-up'],
  'over-heat': ['clam-up'],
  'probe-fault': ['pulled'],
  'draw-due': ['draw'],
  'stoke-due': ['stoke', 'clam-up'],
  'ready-to-unbrick': ['unbricked'],
};

/** Whether `entry` answers the alert; one about a probe is answered by what was done to that probe. */
export function isAnsweredBy(
  { name, probe }: { name: AlertName; probe: string | null },
  entry: KnownLogEntry,
): boolean {
  if (ANSWERED_BY[name]?.includes(entry.log) !== true) return false;
  if (entry.log === 'hold') return entry.on;
  return entry.log !== 'pulled' || entry.probe === probe;
}
