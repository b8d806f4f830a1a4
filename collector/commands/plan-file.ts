/** A plan out of a JSON file that the user gave. */
import { readFile } from 'node:fs/promises';
import { z } from 'zod';
import { parseLogEntry } from '../../protocol/log-entries.ts';
import { type Plan, planSchema } from '../../protocol/plan.ts';

/** Throws with one sentence where the file is not there, is no JSON, or holds a figure that cannot be. */
export async function readPlanFile(path: string): Promise<Plan> {
  let value: unknown;
  try {
    value = JSON.parse((await readFile(path, 'utf8')).replace(/^\ufeff/, ''));
  } catch (cause) {
    const why = cause instanceof SyntaxError ? 'is not JSON' : 'cannot be read';
    throw new Error(`The plan ${path} ${why}.`);
  }
  return checkedPlan(value, `The plan ${path}`);
}

/** A plan that can be kept and logged. Throws with one sentence where `what` holds a figure that cannot be. */
export function checkedPlan(value: unknown, what: string): Plan {
  const parsed = planSchema.safeParse(value);
  if (!parsed.success)
    throw new Error(`${what} does not hold: ${z.prettifyError(parsed.error).replaceAll('\n', ' ')}`);
  if (parseLogEntry({ ...parsed.data, log: 'plan' })?.known !== true)
    throw new Error(
      `${what} does not hold: log, id, at, who and where are no figures of a plan, and nothing may be nested deep.`,
    );
  return parsed.data;
}
