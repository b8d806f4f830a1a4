/** A firing in figures, to lay beside others: what the collector reckons of it, and what came out. */
import { z } from 'zod';

const figure = z.number().nullable();
const at = z.number().int().nullable();
const count = z.number().int().nonnegative();

/**
 * The way up, as columns of equal length: when the kiln first stood at each step of heat, ms after light-up, and what had
 * gone in by then. `woodKg` holds nulls where stokes were not weighed.
 */
const wayUp = z.object({
  tempC: z.array(z.number()),
  afterMs: z.array(z.number()),
  woodKg: z.array(figure),
  saltKg: z.array(z.number()),
  stokes: z.array(count),
});

/** Null is what is not known. Times are epoch ms of firing time. */
export const firingFactsSchema = z.object({
  litAt: at,
  /** When the kiln was first as hot as the plan wants it for salt. */
  saltingHeatAt: at,
  /** The first charge, and the end of salting as logged, else the last charge. */
  saltFrom: at,
  saltTo: at,
  closedAt: at,
  /** When the hottest probe was first below the plan's unbricking temperature. */
  cooledAt: at,
  openedAt: at,
  topC: figure,
  /**
   * Each probe's place: how hot it got, and the cone that its heat work comes to, on the scale of `parseCone`. `lost`: it
   * was not heard to the end of the burning, and may have got hotter.
   */
  places: z.array(z.object({ probe: z.string(), topC: figure, cone: figure, lost: z.boolean() })),
  /** Null where stokes were not weighed, and the plan has no usual weight. */
  woodKg: figure,
  kgPerFaceCord: z.number(),
  stokes: count,
  saltKg: z.number(),
  /** Charges of salt. */
  charges: count,
  /** Stalls of which the alert told, those within 20 min of one another as one, and how long it stood in all, ms. */
  stalls: count,
  stallMs: z.number(),
  /** The longest that the climb was over the plan's limits, ms. */
  tooFastMs: z.number(),
  /** Pieces of the load; null where the plan has none. */
  pieces: count.nullable(),
  weather: z.array(z.string()),
  wayUp,
});
export type FiringFacts = z.infer<typeof firingFactsSchema>;

const counted = { good: count, seconds: count, lost: count };

const yieldSchema = z.object({
  ...counted,
  /** Good of those looked at, 0 … 1. */
  share: z.number(),
  places: z.array(z.object({ place: z.string(), ...counted })),
});
export type FiringYield = z.infer<typeof yieldSchema>;

/**
 * GET /api/firings/<id>/facts. `yield` is null where nothing was counted. `troubles`: what could not be read, a sentence
 * each; the rest counts all the same.
 */
export const firingFactsAnswerSchema = z.object({
  facts: firingFactsSchema,
  yield: yieldSchema.nullable(),
  troubles: z.array(z.string()),
});
export type FiringFactsAnswer = z.infer<typeof firingFactsAnswerSchema>;
