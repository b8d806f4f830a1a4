/** What came out of a firing, by place and kind of ware: the columns of results.csv, and what page and collector send. */
import { z } from 'zod';
import type { Column } from './archive-columns.ts';

/** Why a piece is a second or lost: words of the trade (common practice, no source). */
export const FAULTS = [
  'cracked',
  'burst',
  'bloated',
  'warped',
  'slumped',
  'stuck',
  'dry',
  'over-salted',
  'crawled',
  'pinholed',
  'shivered',
  'chipped',
] as const;

/** How much of the flame's and the salt's blush shows. Empty: nobody looked. */
export const BLUSHES = ['none', 'some', 'strong'] as const;

const MOST_ROWS = 600;
const MOST_PHOTOS = 40;
const pieces = z.number().int().nonnegative().max(10_000);
const kindName = z.string().max(40);
const noteText = z.string().max(500);
/** A name, not a path: the list of them is parted by semicolons in the archive. */
const photoName = z
  .string()
  .trim()
  .min(1)
  .max(120)
  .regex(/^[^;/\\\p{Cc}]+$/u);

const resultRowSchema = z.object({
  place: kindName.min(1),
  shape: kindName.min(1),
  clay: kindName.default(''),
  /** As the load of the plan had it; null where it was not planned. */
  loaded: pieces.nullable().default(null),
  good: pieces.default(0),
  seconds: pieces.default(0),
  lost: pieces.default(0),
  faults: z.array(z.enum(FAULTS)).max(FAULTS.length).default([]),
  blush: z.enum(BLUSHES).nullable().default(null),
  /** Colour and glaze, in the potter's words. */
  colour: noteText.default(''),
  notes: noteText.default(''),
  photos: z.array(photoName).max(MOST_PHOTOS).default([]),
});
export type ResultRow = z.infer<typeof resultRowSchema>;

/** What tells a row from another: one for each kind of ware at each place. */
export function resultKey({ place, shape, clay }: Pick<ResultRow, 'place' | 'shape' | 'clay'>): string {
  return JSON.stringify([place, shape, clay]);
}

export const resultRowsSchema = z
  .array(resultRowSchema)
  .max(MOST_ROWS)
  .refine((rows) => new Set(rows.map(resultKey)).size === rows.length, {
    error: 'A kind of ware stands twice at one place.',
  });

/** `revision` changes whenever the file does; empty while there is none. */
export const resultsSchema = z.object({ revision: z.string().max(64), rows: resultRowsSchema });
export type Results = z.infer<typeof resultsSchema>;

/** Status 409 of the collector: another page, or a hand on the file, was there first. */
export const resultsConflictSchema = z.object({ text: z.string(), results: resultsSchema });

const column = (name: string, datatype: Column['datatype'], about: string, more: Partial<Column> = {}) => ({
  name,
  about,
  datatype,
  required: false,
  ...more,
});

/** The columns of results.csv in order. */
export const RESULT_COLUMNS = [
  column('place', 'string', "The place in the kiln, by the potter's own name.", { required: true }),
  column('shape', 'string', 'The shape of the ware.', { required: true }),
  column('clay', 'string', 'The clay that it is made of.'),
  column('loaded', 'nonNegativeInteger', 'Pieces that the plan had there; empty if it had none.'),
  column('good', 'nonNegativeInteger', 'Pieces that came out good.', { required: true }),
  column('seconds', 'nonNegativeInteger', 'Pieces with a fault that can still be used.', { required: true }),
  column('lost', 'nonNegativeInteger', 'Pieces that are lost.', { required: true }),
  column('faults', { base: 'string', format: FAULTS.join('|') }, 'Why they are seconds or lost.', {
    separator: ' ',
  }),
  column('blush', { base: 'string', format: BLUSHES.join('|') }, 'How much blush shows.'),
  column('colour', 'string', 'Colour and glaze, in words.'),
  column('notes', 'string', 'What else there is to say.'),
  column('photos', 'string', 'File names of photos.', { separator: ';' }),
] as const satisfies readonly Column[];

/** The key of a row. */
export const RESULT_KEY = ['place', 'shape', 'clay'] as const;

export interface Yield {
  good: number;
  seconds: number;
  lost: number;
  /** Pieces looked at. */
  counted: number;
  /** Good of those looked at, 0 … 1; null before any was. */
  share: number | null;
}

/** Sums of rows. */
export function yieldOf(rows: readonly Pick<ResultRow, 'good' | 'seconds' | 'lost'>[]): Yield {
  const sum = (field: 'good' | 'seconds' | 'lost') => rows.reduce((all, row) => all + row[field], 0);
  const [good, seconds, lost] = [sum('good'), sum('seconds'), sum('lost')];
  const counted = good + seconds + lost;
  return { good, seconds, lost, counted, share: counted === 0 ? null : good / counted };
}
