/** How an alert that nobody has answered calls again: sooner and louder the longer it has called. Our own choice. */
import type { AlertPriority } from './alert-names.ts';
import { MINUTE_MS, SECOND_MS } from './units.ts';

/** 1 is the first and quietest. */
export type CallStep = 1 | 2 | 3;

interface Stretch {
  fromMs: number;
  everyMs: number;
  step: CallStep;
}

const STRETCHES: Record<AlertPriority, readonly [Stretch, ...Stretch[]]> = {
  'come-now': [
    { fromMs: 0, everyMs: 15 * SECOND_MS, step: 1 },
    { fromMs: 2 * MINUTE_MS, everyMs: 15 * SECOND_MS, step: 2 },
    { fromMs: 5 * MINUTE_MS, everyMs: 10 * SECOND_MS, step: 3 },
  ],
  'look-soon': [
    { fromMs: 0, everyMs: 2 * MINUTE_MS, step: 1 },
    { fromMs: 10 * MINUTE_MS, everyMs: MINUTE_MS, step: 2 },
    { fromMs: 30 * MINUTE_MS, everyMs: MINUTE_MS, step: 3 },
  ],
  /** Good to know: said once. */
  note: [{ fromMs: 0, everyMs: Number.POSITIVE_INFINITY, step: 1 }],
};

/** How loudly an alert that has called for `calledForMs` (0 or more) calls now, and after how long again. */
export function callAfter(priority: AlertPriority, calledForMs: number): { step: CallStep; everyMs: number } {
  const stretches = STRETCHES[priority];
  const { step, everyMs } = stretches.findLast(({ fromMs }) => calledForMs >= fromMs) ?? stretches[0];
  return { step, everyMs };
}
