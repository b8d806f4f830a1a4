/** plan.json: the plan, the boards and where the readings come from. */
import { z } from 'zod';
import type { Hello } from '../../protocol/board-lines.ts';
import { FIRING_SOURCES } from '../../protocol/live-messages.ts';
import { planSchema } from '../../protocol/plan.ts';
import { COUPLE_TYPES } from '../../protocol/probes.ts';
import type { PlanFile } from './rows.ts';

const probeSchema = z.object({
  name: z.string(),
  couple: z.enum(COUPLE_TYPES),
  form: z.discriminatedUnion('kind', [
    z.object({ kind: z.literal('uv') }),
    z.object({ kind: z.literal('deg') }),
    z.object({ kind: z.literal('lin'), uvPerC: z.number().positive() }),
  ]),
});

/** A hello as it stands in plan.json and in the hello rows of log.csv. */
export const helloSchema: z.ZodType<Hello> = z.object({
  board: z.string(),
  boot: z.string(),
  periodMs: z.number().positive(),
  keeps: z.number().nonnegative(),
  probes: z.array(probeSchema),
});

const planFileSchema = z.object({
  plan: planSchema,
  boards: z.array(helloSchema),
  startedAt: z.number().int(),
  source: z.enum(FIRING_SOURCES),
});

export function planFileText(file: PlanFile): string {
  return `${JSON.stringify(file, null, 2)}\n`;
}

/** The text of a plan.json; null if it is none. */
export function planFileFromText(text: string): PlanFile | null {
  try {
    return planFileSchema.safeParse(JSON.parse(text)).data ?? null;
  } catch {
    return null;
  }
}
