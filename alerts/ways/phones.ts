/** The phones that were armed to wake somebody, and whether they are heard. Pure. Times are real milliseconds, monotonic. */
import { SECOND_MS } from '../../protocol/units.ts';

/** A phone that says nothing for so long cannot be counted on. */
export const PHONE_SILENT_MS = 60 * SECOND_MS;

/** What a page says of itself every few seconds. `armed`: the ways that would reach somebody on it; none lets it go. */
export interface Heartbeat {
  id: string;
  name: string;
  armed: readonly string[];
}

export interface ArmedPhone extends Heartbeat {
  heardAt: number;
  silent: boolean;
}

export type Phones = Map<string, ArmedPhone>;

export function phoneHeard(phones: Phones, at: number, heartbeat: Heartbeat): void {
  if (heartbeat.armed.length === 0) phones.delete(heartbeat.id);
  else phones.set(heartbeat.id, { ...heartbeat, heardAt: at, silent: false });
}

/** Finds the phones that have fallen silent. */
export function phonesAt(phones: Phones, at: number): void {
  for (const phone of phones.values()) phone.silent = at - phone.heardAt >= PHONE_SILENT_MS;
}

/** Somebody has heard which phones are silent: they are counted on no more until they speak again. */
export function forgetSilent(phones: Phones): void {
  for (const [id, { silent }] of phones) if (silent) phones.delete(id);
}

export function someoneHears(phones: Phones): boolean {
  return [...phones.values()].some(({ silent }) => !silent);
}

/** Which armed phones are not heard, in a sentence; null while all are. */
export function silentInWords(phones: Phones): string | null {
  // One that is locked says nothing, and is called by push all the same.
  const names = [...phones.values()]
    .filter(({ silent, armed }) => silent && !armed.includes('push'))
    .map(({ name }) => name);
  const last = names.pop();
  if (last === undefined) return null;
  if (names.length === 0)
    return `${last} has not been heard for a minute. It wakes nobody: look at it, or answer this if it was put away.`;
  return `${names.join(', ')} and ${last} have not been heard for a minute. They wake nobody: look at them, or answer this if they were put away.`;
}
