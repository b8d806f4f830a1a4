/** Sends a file to the collector: to be looked at, tried, and taken over. */
import { z } from 'zod';
import {
  HEAD_BYTES,
  type Looked,
  lookedSchema,
  type Mapping,
  type Tried,
  takenSchema,
  triedSchema,
} from '../../protocol/imports.ts';

/** Null: the collector is not heard. `text`: why not, in the collector's words. */
export type Answer<What> = { kind: 'here'; what: What } | { kind: 'no'; text: string } | null;

const saidSchema = z.object({ text: z.string() });

async function send<What>(
  what: string,
  body: Blob,
  query: Record<string, string>,
  schema: z.ZodType<What>,
): Promise<Answer<What>> {
  try {
    const answer = await fetch(`api/import/${what}?${new URLSearchParams(query)}`, {
      method: 'POST',
      headers: { 'Content-Type': 'application/octet-stream' },
      body,
    });
    const said: unknown = await answer.json();
    return answer.ok
      ? { kind: 'here', what: schema.parse(said) }
      : { kind: 'no', text: saidSchema.parse(said).text };
  } catch {
    return null;
  }
}

/** The date on the reader's own calendar, `2031-03-08`. */
function today(): string {
  const now = new Date();
  return new Date(now.getTime() - now.getTimezoneOffset() * 60_000).toISOString().slice(0, 10);
}

export const lookAtFile = (file: File): Promise<Answer<Looked>> =>
  send('look', file.slice(0, HEAD_BYTES), { name: file.name.slice(-200), today: today() }, lookedSchema);

export const tryFile = (file: File, mapping: Mapping): Promise<Answer<Tried>> =>
  send('try', file, { mapping: JSON.stringify(mapping) }, triedSchema);

export const takeFile = (file: File, mapping: Mapping): Promise<Answer<{ id: string }>> =>
  send('take', file, { mapping: JSON.stringify(mapping), name: file.name.slice(-200) }, takenSchema);

export const takeZip = (file: File): Promise<Answer<{ id: string }>> => send('zip', file, {}, takenSchema);
