/**
 * What people do and see at the kiln, and what the collector was told: the `@` objects of a capture, the `json`
 * column of log.csv, and the log messages of the page are all this one shape.
 */
import { z } from 'zod';
import { planSchema } from './plan.ts';

/** More than a person puts on one wood pile, or on one scoop: kg, and g. */
const MOST_WOOD_KG = 100_000;
const MOST_SALT_G = 1_000_000;
/** An alert is shelved for half a day at most; 0 minutes end it. */
const MOST_SHELVED_MIN = 12 * 60;
/** What is nested deeper is no entry of anybody's, and would overflow the stack when it is written. */
const MOST_DEPTH = 32;

const hole = z.enum(['left', 'right']);

/**
 * Fields that every entry may carry. `at`: when it happened, RFC 3339 (with Z or an offset), if not when it was written
 * down. In an undo `id` names the entry that it takes back. `mends`: the id of the entry whose place this one takes, of the
 * same kind: its time or what it says was put right.
 */
const common = {
  id: z.string().min(1).max(80).optional(),
  at: z.iso.datetime({ offset: true }).optional(),
  who: z.string().max(80).optional(),
  where: z.string().max(80).optional(),
  mends: z.string().min(1).max(80).optional(),
};

const entry = <const Name extends string, Shape extends z.ZodRawShape>(name: Name, shape: Shape) =>
  z.looseObject({ log: z.literal(name), ...shape, ...common });

export const knownLogEntrySchema = z.discriminatedUnion('log', [
  planSchema.extend({ log: z.literal('plan'), ...common }),
  entry('light-up', {}),
  entry('stoke', { hole, kg: z.number().nonnegative().max(MOST_WOOD_KG).optional() }),
  entry('salt', { hole, g: z.number().nonnegative().max(MOST_SALT_G).optional() }),
  entry('end-salt', {}),
  entry('damper', { open: z.number().min(0).max(1) }),
  entry('cone-bending', { probe: z.string().optional(), cone: z.string() }),
  entry('cone-down', { probe: z.string().optional(), cone: z.string() }),
  entry('draw', {
    thickness: z.enum(['thin', 'good', 'heavy']).optional(),
    orangePeel: z.boolean().optional(),
    colour: z.string().max(80).optional(),
    note: z.string().optional(),
  }),
  entry('atmosphere', { seen: z.enum(['oxidising', 'neutral', 'reducing']) }),
  entry('weather', { note: z.string() }),
  entry('pulled', { probe: z.string() }),
  entry('put-back', { probe: z.string() }),
  entry('hold', { on: z.boolean() }),
  entry('clam-up', {}),
  entry('unbricked', {}),
  entry('note', { note: z.string() }),
  z.looseObject({ log: z.literal('undo'), ...common, id: z.string() }),
  entry('ack', { alert: z.string() }),
  entry('shelve', { alert: z.string(), minutes: z.number().nonnegative().max(MOST_SHELVED_MIN).optional() }),
]);

/** The words that `log` can be in an entry of this version. */
export const KNOWN_LOG_WORDS: ReadonlySet<string> = new Set(
  knownLogEntrySchema.options.map((option) => option.shape.log.value),
);

/** An entry whose `log` word or fields this version does not know: kept whole, and shown as a note. */
const unknownLogEntrySchema = z.looseObject({ log: z.string().min(1).max(80), ...common });

export type KnownLogEntry = z.infer<typeof knownLogEntrySchema>;
export type UnknownLogEntry = z.infer<typeof unknownLogEntrySchema>;

/** An entry as the core takes it: known and parsed, or unknown and kept. */
export type LogEntry = { known: true; entry: KnownLogEntry } | { known: false; entry: UnknownLogEntry };

/** Whether a JSON value holds objects and lists in one another to more than `MOST_DEPTH`. */
function isTooDeep(value: unknown): boolean {
  let level: unknown[] = [value];
  for (let depth = 0; depth <= MOST_DEPTH; depth += 1) {
    level = level.flatMap((each) => (typeof each === 'object' && each !== null ? Object.values(each) : []));
    if (level.length === 0) return false;
  }
  return true;
}

/** Any JSON value to a log entry; null if it is not an object with a short `log` word, or is nested too deep. */
export function parseLogEntry(value: unknown): LogEntry | null {
  if (isTooDeep(value)) return null;
  const known = knownLogEntrySchema.safeParse(value);
  if (known.success) return { known: true, entry: known.data };
  const unknown = unknownLogEntrySchema.safeParse(value);
  return unknown.success ? { known: false, entry: unknown.data } : null;
}
