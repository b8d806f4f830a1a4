/** A firing from elsewhere: how the columns of its CSV are to be read, and what comes of it. */
import { z } from 'zod';
import { curveSchema } from './firing-record.ts';
import { COUPLE_TYPES } from './probes.ts';

/** What may be sent: bytes of a CSV file, and of a zip that Spyhole made. */
export const MOST_CSV_BYTES = 64 * 1024 * 1024;
export const MOST_ZIP_BYTES = 256 * 1024 * 1024;
/** So much of a file is looked at to guess its columns. */
export const HEAD_BYTES = 64 * 1024;
const MOST_COLUMNS = 200;
const MOST_PROBES = 16;

export const ENCODINGS = ['utf-8', 'utf-16le', 'windows-1252'] as const;
/** What may part the columns; a space stands for one or more of them. */
export const DELIMITERS = [',', ';', '\t', '|', ' '] as const;
export type Delimiter = (typeof DELIMITERS)[number];

/** The cells of a row. Where spaces part them there are as many as it takes to make the columns straight, and none is a cell. */
export function cellsOf(row: string[], delimiter: Delimiter): string[] {
  return delimiter === ' ' ? row.filter((cell) => cell !== '') : row;
}
/** In which order day and month stand. */
export const DATE_ORDERS = ['ymd', 'dmy', 'mdy'] as const;
/** `hms`: written as hours, minutes and seconds, `12:05:30`. */
export const SINCE_UNITS = ['s', 'min', 'h', 'hms'] as const;

const column = z.number().int().min(0).max(MOST_COLUMNS);
/** A name of the IANA time zone database. */
const zone = z.string().min(1).max(60);

const timeColumns = z.discriminatedUnion('kind', [
  /** Date and time, in one column or in two. A cell that says its own zone is taken by that. */
  z.object({
    kind: z.literal('clock'),
    columns: z.array(column).min(1).max(2),
    order: z.enum(DATE_ORDERS),
    zone,
  }),
  /** Since a start that the user gives, `2031-03-08T06:30`. */
  z.object({
    kind: z.literal('since'),
    column,
    unit: z.enum(SINCE_UNITS),
    start: z.string().regex(/^\d{4}-\d\d-\d\dT\d\d:\d\d(:\d\d)?$/),
    zone,
  }),
  /** Seconds or milliseconds since 1970 in UTC. */
  z.object({ kind: z.literal('epoch'), column, unit: z.enum(['s', 'ms']) }),
]);

export const mappingSchema = z.object({
  name: z.string().trim().min(1).max(80),
  encoding: z.enum(ENCODINGS),
  delimiter: z.enum(DELIMITERS),
  decimal: z.enum(['.', ',']),
  /** Rows before the first reading: the names of the columns, and what else stands there. */
  skipRows: z.number().int().min(0).max(1000),
  time: timeColumns,
  unit: z.enum(['C', 'F']),
  probes: z
    .array(
      z.object({
        column,
        name: z.string().regex(/^[a-z0-9-]{1,16}$/),
        /** Null: nobody knows. */
        couple: z.enum(COUPLE_TYPES).nullable().default(null),
      }),
    )
    .min(1)
    .max(MOST_PROBES)
    .refine((probes) => new Set(probes.map(({ name }) => name)).size === probes.length, {
      error: 'Each probe needs a name of its own.',
    }),
});
export type Mapping = z.infer<typeof mappingSchema>;

/** What the head of a file looks like. `mapping` is null where no temperatures could be made out. */
export const lookedSchema = z.object({
  delimiter: z.enum(DELIMITERS),
  columns: z.array(z.string()),
  /** The first readings, as they stand. */
  rows: z.array(z.array(z.string())),
  mapping: mappingSchema.nullable(),
});
export type Looked = z.infer<typeof lookedSchema>;

/** Rows that were not taken, and those that were put right. */
export const leftOutSchema = z.object({
  noTime: z.number().int(),
  noHeat: z.number().int(),
  doubled: z.number().int(),
  /** Taken, but put in their place by time. */
  unsorted: z.number().int(),
  /** Taken; local times that there were twice, or not at all, as the clocks were changed. */
  doubledHour: z.number().int(),
  skippedHour: z.number().int(),
  /** Single heats that no kiln has: left empty. */
  wildHeats: z.number().int(),
});
export type LeftOut = z.infer<typeof leftOutSchema>;

/** What would be made of a file. */
export const triedSchema = z.object({
  rows: z.number().int(),
  from: z.number().int(),
  to: z.number().int(),
  everyMs: z.number(),
  probes: z.array(
    z.object({ name: z.string(), count: z.number().int(), leastC: z.number(), mostC: z.number() }),
  ),
  leftOut: leftOutSchema,
  curve: curveSchema,
});
export type Tried = z.infer<typeof triedSchema>;

/** What was made: the firing's id, and what of it could not be read, in a sentence. */
export const takenSchema = z.object({ id: z.string(), say: z.string().nullable().default(null) });

/**
 * How far the taking over is: rows that have gone through the core, of all. Whoever asks for `PROGRESS_TYPE` is sent a line of
 * JSON from time to time; the last line is the answer.
 */
export const takingSchema = z.object({ rows: z.number().int(), of: z.number().int() });
export const PROGRESS_TYPE = 'application/x-ndjson';
