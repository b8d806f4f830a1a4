/**
 * What is found out about a board before the kiln is lit: facts alone, no verdict. They cross the live feed, and are what
 * `spyhole board --json` prints. Temperatures in °C, times in milliseconds.
 */
import { z } from 'zod';
import { COUPLE_TYPES } from './probes.ts';

const count = z.number().int().nonnegative();
const figure = z.number().nullable();

const probeFacts = z.object({
  name: z.string(),
  couple: z.enum(COUPLE_TYPES),
  /** As it stands in a hello: `uv`, `deg`, `lin41.276`. */
  form: z.string(),
  lastC: figure,
  leastC: figure,
  mostC: figure,
  /** Standard deviation of one reading around a line through its neighbours; null: too few readings. */
  noiseC: figure,
  /** How far it went up and down since the first readings of the check, both at least 0: a hand at the tip shows here. */
  roseC: figure,
  fellC: figure,
  readings: count,
  /** Readings without a temperature, by why. */
  faults: z.record(z.string(), count),
});

export const boardFactsSchema = z.object({
  link: z.string(),
  /** How the link stands, in a sentence; empty: nothing is known of it. */
  standing: z.string(),
  /** How long it was listened to. */
  heardForMs: z.number().nonnegative(),
  /** It only prints numbers, and cannot be asked for anything. */
  plain: z.boolean(),
  hello: z
    .object({ board: z.string(), boot: z.string(), periodMs: z.number().positive(), keeps: count })
    .nullable(),
  probes: z.array(probeFacts),
  /** The board's own temperature; `none`: readings that came without. */
  coldJunction: z.object({ lastC: figure, leastC: figure, mostC: figure, none: count }),
  readings: count,
  /** Lines that came, and those of them that could not be used, by why; `torn`: input dropped before it was a line. */
  lines: z.object({ all: count, bad: z.record(z.string(), count), torn: count }),
  /** Readings that were skipped and did not come later. */
  skipped: count,
  /** From `?` to the hello, and from `G` to the reading that was asked for: medians. */
  hellos: z.object({ asked: count, answered: count, tripMs: figure }),
  /** `gone`: it said that it keeps this reading no longer, though by its hello it should. */
  gives: z.object({ asked: count, answered: count, gone: count, tripMs: figure }),
  /** Time between readings as they arrive: the median, and the middle half of all. */
  pace: z.object({ medianMs: z.number(), lowMs: z.number(), highMs: z.number() }).nullable(),
  /** How much faster the board's clock runs than the computer's, in millionths, with its standard error, over so long. */
  clock: z.object({ fastPpm: z.number(), sdPpm: z.number(), overMs: z.number() }).nullable(),
  /** It began anew by itself so often. */
  restarts: count,
  /** The link was shut and opened again. `remembers`: the same boot spoke after it; null: no hello yet. */
  cable: z.object({ how: z.enum(['reopened', 'pulled']), remembers: z.boolean().nullable() }).nullable(),
});
export type BoardFacts = z.infer<typeof boardFactsSchema>;
export type ProbeFacts = z.infer<typeof probeFacts>;
