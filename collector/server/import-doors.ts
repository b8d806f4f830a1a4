/**
 * Firings from elsewhere, sent by the page: `POST api/import/look` with the head of a file, `try` and `take` with the whole
 * of it, `zip` with one that Spyhole made. The mapping comes as JSON in the address, the file's name as well. Who may come
 * in is seen to before: `doors.ts`.
 */
import type { Readable } from 'node:stream';
import express, { type Request, type Response, type Router } from 'express';
import { z } from 'zod';
import {
  DELIMITERS,
  type Delimiter,
  HEAD_BYTES,
  type Looked,
  type Mapping,
  MOST_CSV_BYTES,
  MOST_ZIP_BYTES,
  mappingSchema,
  PROGRESS_TYPE,
  type Tried,
} from '../../protocol/imports.ts';

/** Each rejects with an Error of one sentence where it cannot be done. */
export interface ImportBook {
  look(head: Buffer, about: { fileName: string; today: string; delimiter?: Delimiter | undefined }): Looked;
  try(bytes: Readable, mapping: Mapping): Promise<Tried>;
  /** The id of what was made. */
  take(
    bytes: Readable,
    mapping: Mapping,
    fileName: string,
    onProgress?: (rows: number, of: number) => void,
  ): Promise<string>;
  zip(bytes: Readable): Promise<{ id: string; say: string | null }>;
}

/** Whether this is an address that a file may be sent to, of whichever kiln. */
export function isImportPath(path: string): boolean {
  return /^(?:\/kiln\/[^/]+)?\/api\/import\/(?:look|try|take|zip)$/.test(path);
}

const querySchema = z.object({
  name: z.string().max(200).default(''),
  today: z
    .string()
    .regex(/^\d{4}-\d\d-\d\d$/)
    .default('2000-01-01'),
  mapping: z.string().max(8000).optional(),
  delimiter: z.enum(DELIMITERS).optional(),
});

/** How often a page that waits is told how far it is. */
const TELL_EVERY_MS = 300;

export function addImportDoors(site: Router, book: ImportBook): void {
  const head = express.raw({ type: () => true, limit: HEAD_BYTES * 2 });
  site.post('/api/import/look', head, (request, response) =>
    forFile(request, response, HEAD_BYTES * 2, async ({ name, today, delimiter }) => {
      const bytes = Buffer.isBuffer(request.body) ? request.body : Buffer.alloc(0);
      return book.look(bytes, { fileName: name, today, delimiter });
    }),
  );
  site.post('/api/import/try', (request, response) =>
    forFile(request, response, MOST_CSV_BYTES, ({ mapping }) => book.try(request, mappingOf(mapping))),
  );
  site.post('/api/import/take', (request, response) =>
    forFile(request, response, MOST_CSV_BYTES, async ({ mapping, name }) => ({
      id: await book.take(request, mappingOf(mapping), name, progressInto(request, response)),
    })),
  );
  site.post('/api/import/zip', (request, response) =>
    forFile(request, response, MOST_ZIP_BYTES, () => book.zip(request)),
  );
}

/** A line of JSON from time to time, for whoever asks for such lines. */
function progressInto(
  request: Request,
  response: Response,
): ((rows: number, of: number) => void) | undefined {
  if (request.headers.accept !== PROGRESS_TYPE) return undefined;
  let told = Number.NEGATIVE_INFINITY;
  return (rows, of) => {
    const now = performance.now();
    if (response.destroyed || now - told < TELL_EVERY_MS) return;
    told = now;
    if (!response.headersSent)
      response.writeHead(200, { 'Content-Type': PROGRESS_TYPE, 'Cache-Control': 'no-store' });
    response.write(`${JSON.stringify({ rows, of })}\n`);
  };
}

function mappingOf(text: string | undefined): Mapping {
  let value: unknown = null;
  try {
    value = JSON.parse(text ?? '');
  } catch {
    // What is no JSON is no mapping: the schema says so.
  }
  const parsed = mappingSchema.safeParse(value);
  if (parsed.success) return parsed.data;
  const [issue] = parsed.error.issues;
  throw new Error(`The columns are not set as they must be (${issue?.path.join(', ')}: ${issue?.message}).`);
}

async function forFile(
  request: Request,
  response: Response,
  mostBytes: number,
  work: (query: z.infer<typeof querySchema>) => Promise<object>,
): Promise<void> {
  const query = querySchema.safeParse(request.query);
  if (!query.success) return answer(request, response, 400, { text: 'The address cannot be read.' });
  if (Number(request.headers['content-length'] ?? 0) > mostBytes)
    return answer(request, response, 413, {
      text: `The file is larger than ${Math.floor(mostBytes / 1024 / 1024)} MB: part it, or leave out columns.`,
    });
  try {
    answer(request, response, 200, await work(query.data));
  } catch (cause) {
    answer(request, response, 422, { text: cause instanceof Error ? cause.message : String(cause) });
  }
}

/** What of the file was not read is let go by, so that a browser that still sends reads the answer. */
function answer(request: Request, response: Response, status: number, what: object): void {
  if (!request.complete) {
    request.resume();
    if (!response.headersSent) response.setHeader('Connection', 'close');
  }
  if (response.destroyed) return;
  // Progress was told before: the answer is the last line, and a refusal is known by its words.
  if (response.headersSent) return void response.end(`${JSON.stringify(what)}\n`);
  response.status(status).setHeader('Cache-Control', 'no-store').json(what);
}
