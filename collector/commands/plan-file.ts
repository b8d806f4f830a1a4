/** A plan out of a JSON file that the user gave. */
import { readFile } from 'node:fs/promises';
import { z } from 'zod';
import { type Plan, planSchema } from '../../protocol/plan.ts';

/** Throws with one sentence where the file is not there, is no JSON, or holds a figure that cannot be. */
export async function readPlanFile(path: string): Promise<Plan> {
  let value: unknown;
  try {
    value = JSON.parse(await readFile(path, 'utf8'));
  } catch (cause) {
    const why = cause instanceof SyntaxError ? 'is not JSON' : 'cannot be read';
    throw new Error(`The plan ${path} ${why}.`);
  }
  const parsed = planSchema.safeParse(value);
  if (parsed.success) return parsed.data;
  throw new Error(`The plan ${path} does not hold: ${z.prettifyError(parsed.error).replaceAll('\n', ' ')}`);
}
