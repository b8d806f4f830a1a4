/** When the page must make itself heard. Pure: what stands and when it last sounded, to what sounds now. */
import type { AlertPriority } from '../protocol/alert-names.ts';
import type { ActiveAlert } from '../protocol/firing-record.ts';
import type { OtherKiln } from '../protocol/live-messages.ts';
import { calls } from './firing.ts';

/** How often an alert that nobody has heard sounds again, wall ms; a note sounds once. Our own choice. */
const AGAIN_AFTER_MS: Record<AlertPriority, number> = {
  'come-now': 15_000,
  'look-soon': 120_000,
  note: Number.POSITIVE_INFINITY,
};
/** A page that has lost the collector calls for a person after this. */
const LOST_CALLS_AFTER_MS = 60_000;
const LOST = 'lost';

/** When each alert (by id) last sounded, wall ms. */
export type Sounded = ReadonlyMap<string, number>;

export interface AlarmInput {
  alerts: readonly ActiveAlert[];
  /** The other kilns of the collector: one page calls for them all. */
  others?: readonly OtherKiln[];
  /** For how long the collector has not been heard, wall ms; null while it speaks. */
  quietForMs: number | null;
  wallMs: number;
}

/** What is due now: at most one sound, the most urgent. */
export function dueSound(
  sounded: Sounded,
  input: AlarmInput,
): { sounded: Sounded; sound: AlertPriority | null } {
  const calling: { id: string; priority: AlertPriority }[] = input.alerts
    .filter(calls)
    .map(({ id, priority }) => ({ id, priority }));
  for (const { kiln, alerts } of input.others ?? [])
    for (const { id, priority, acknowledged } of alerts)
      if (!acknowledged) calling.push({ id: `${kiln}/${id}`, priority });
  if (input.quietForMs !== null && input.quietForMs >= LOST_CALLS_AFTER_MS)
    calling.push({ id: LOST, priority: 'come-now' });
  const due = calling.filter(({ id, priority }) => {
    const last = sounded.get(id);
    return last === undefined || input.wallMs - last >= AGAIN_AFTER_MS[priority];
  });
  const order: AlertPriority[] = ['come-now', 'look-soon', 'note'];
  const sound = order.find((priority) => due.some((call) => call.priority === priority)) ?? null;
  if (sound === null && calling.length === sounded.size) return { sounded, sound };
  const kept = calling.map(({ id }): [string, number | undefined] => [id, sounded.get(id)]);
  const next = new Map<string, number>();
  for (const [id, last] of kept) if (last !== undefined) next.set(id, last);
  for (const { id } of due) next.set(id, input.wallMs);
  return { sounded: next, sound };
}
