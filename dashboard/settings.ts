/** What a person has chosen on this page; remembered in the browser. */
import { z } from 'zod';

export const settingsSchema = z.object({
  unit: z.enum(['F', 'C']),
  look: z.enum(['day', 'night', 'self']),
  who: z.string().max(80),
  /** How many of the plan's charges go in at a press. */
  charges: z.number().positive(),
  /** How much wood goes in at a press; null: the usual, which the plan knows. */
  stokeKg: z.number().positive().nullable().default(null),
  /** Where each probe stands on the ground plan: 0 … 8, from back left to front right. */
  places: z.record(z.string(), z.number().int().min(0).max(8)),
});
export type Settings = z.infer<typeof settingsSchema>;

/** °F where the reader's own language is that of a country that cooks by it. */
export function firstSettings(language: string): Settings {
  const unit = /^(en-US|en-LR|es-PR)\b/i.test(language) ? 'F' : 'C';
  return { unit, look: 'self', who: '', charges: 1, stokeKg: null, places: {} };
}
