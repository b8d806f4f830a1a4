/** Which plan a firing goes by: the one that it began with, or the last that the log book holds. */
import { type Plan, planSchema } from './plan.ts';

/** Fields of a log row that are the entry's own and none of the plan's. */
const ENTRY_FIELDS = ['log', 'id', 'at', 'who', 'where'];

/** The plan in the fields of a `plan` entry; null if they are none. */
export function planOfEntry(json: Record<string, unknown>): Plan | null {
  const fields = Object.entries(json).filter(([name]) => !ENTRY_FIELDS.includes(name));
  return planSchema.safeParse(Object.fromEntries(fields)).data ?? null;
}

/** The last plan that was logged and not undone, else `first`. */
export function presentPlan(
  first: Plan,
  log: readonly { log: string; json: Record<string, unknown>; undone: boolean }[],
): Plan {
  const logged = log.findLast((entry) => entry.log === 'plan' && !entry.undone);
  return (logged && planOfEntry(logged.json)) ?? first;
}
