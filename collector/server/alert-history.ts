/** What called in a firing, and where on its curve. */
import type { AlertHistory, RecordedFiring } from '../../protocol/firing-record.ts';
import { MINUTE_MS } from '../../protocol/units.ts';

/** So much of the curve before the raise and after the end shows how it came and went: our own choice. */
const AROUND_MS = 45 * MINUTE_MS;

/** `around` never goes beyond what was recorded. */
export function alertHistory({ alerts, curve }: Pick<RecordedFiring, 'alerts' | 'curve'>): AlertHistory {
  const lastAt = curve.at.at(-1) ?? Number.POSITIVE_INFINITY;
  return {
    alerts: alerts
      .map((known) => {
        const { raisedAt } = known.alert;
        const endedAt = known.clearedAt ?? raisedAt;
        const to = Math.max(raisedAt + 1, Math.min(endedAt + AROUND_MS, lastAt));
        return { ...known, around: { from: raisedAt - AROUND_MS, to } };
      })
      .toSorted((a, b) => a.alert.raisedAt - b.alert.raisedAt),
  };
}
