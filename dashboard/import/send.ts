/** Sends a file to the collector: to be looked at, tried, and taken over; how far that is, is told on the way. */
import { z } from 'zod';
import {
  type Delimiter,
  HEAD_BYTES,
  type Looked,
  lookedSchema,
  type Mapping,
  PROGRESS_TYPE,
  type Tried,
  takenSchema,
  takingSchema,
  triedSchema,
} from '../../protocol/imports.ts';

/** Null: the collector is not heard. `text`: why not, in the collector's words. */
export type Answer<What> = { kind: 'here'; what: What } | { kind: 'no'; text: string } | null;
export type Taken = z.infer<typeof takenSchema>;

/** Bytes of the file that are read, then rows that have gone through the core. */
export interface Progress {
  of: 'bytes' | 'rows';
  done: number;
  all: number;
}
export type OnProgress = (progress: Progress) => void;

const saidSchema = z.object({ text: z.string() });

/** The last line that is whole: of what has come so far, or of the answer. */
function lastLine(text: string): unknown {
  try {
    return JSON.parse(
      text
        .slice(0, text.lastIndexOf('\n') + 1 || undefined)
        .trim()
        .split('\n')
        .at(-1) ?? '',
    );
  } catch {
    return null;
  }
}

/** By the older kind of request: the newer one does not tell how much of a file has gone. */
function send<What>(
  what: string,
  body: Blob,
  query: Record<string, string>,
  schema: z.ZodType<What>,
  onProgress?: OnProgress,
): Promise<Answer<What>> {
  return new Promise((resolve) => {
    const request = new XMLHttpRequest();
    request.open('POST', `api/import/${what}?${new URLSearchParams(query)}`);
    request.setRequestHeader('Content-Type', 'application/octet-stream');
    if (onProgress) {
      request.setRequestHeader('Accept', PROGRESS_TYPE);
      request.upload.onprogress = ({ loaded }) => onProgress({ of: 'bytes', done: loaded, all: body.size });
      request.onprogress = () => {
        const taking = takingSchema.safeParse(lastLine(request.responseText));
        if (taking.success) onProgress({ of: 'rows', done: taking.data.rows, all: taking.data.of });
      };
    }
    request.onerror = () => resolve(null);
    request.onload = () => {
      const answer = lastLine(request.responseText);
      const refused = saidSchema.safeParse(answer);
      if (refused.success) return resolve({ kind: 'no', text: refused.data.text });
      const parsed = schema.safeParse(answer);
      resolve(parsed.success ? { kind: 'here', what: parsed.data } : null);
    };
    request.send(body);
  });
}

/** The date on the reader's own calendar, `2031-03-08`. */
function today(): string {
  const now = new Date();
  return new Date(now.getTime() - now.getTimezoneOffset() * 60_000).toISOString().slice(0, 10);
}

const nameOf = (file: File) => file.name.slice(-200);

/** `delimiter`: what parts the columns, where somebody has said so. */
export const lookAtFile = (file: File, delimiter?: Delimiter): Promise<Answer<Looked>> =>
  send(
    'look',
    file.slice(0, HEAD_BYTES),
    { name: nameOf(file), today: today(), ...(delimiter === undefined ? {} : { delimiter }) },
    lookedSchema,
  );

export const tryFile = (file: File, mapping: Mapping, onProgress: OnProgress): Promise<Answer<Tried>> =>
  send('try', file, { mapping: JSON.stringify(mapping) }, triedSchema, onProgress);

export const takeFile = (file: File, mapping: Mapping, onProgress: OnProgress): Promise<Answer<Taken>> =>
  send('take', file, { mapping: JSON.stringify(mapping), name: nameOf(file) }, takenSchema, onProgress);

export const takeZip = (file: File, onProgress: OnProgress): Promise<Answer<Taken>> =>
  send('zip', file, {}, takenSchema, onProgress);
