/** An alert as the webhook's and MQTT's JSON has it. */
import type { z } from 'zod';
import type { Call } from '../../alerts/ways/plan-of-ways.ts';
import { formatTime } from '../../protocol/times.ts';
import type { toldAlertSchema } from '../../protocol/ways.ts';

export function toldAlert(call: Call): z.infer<typeof toldAlertSchema> {
  const { id, name, probe, priority, text, raisedAt, acknowledged } = call;
  return {
    id,
    name,
    probe,
    priority,
    text,
    raised_at: formatTime(raisedAt),
    acknowledged: acknowledged && {
      at: formatTime(acknowledged.at),
      who: acknowledged.who,
      where: acknowledged.where,
    },
  };
}
