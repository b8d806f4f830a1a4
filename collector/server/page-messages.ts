/** What a page sends: read with care, since anything may come. */
import { LIVE_VERSION, type PageMessage, pageMessageSchema } from '../../protocol/live-messages.ts';

export type PageEntry = Extract<PageMessage, { type: 'log' }>['entry'];

type ReadMessage =
  | { kind: 'message'; message: PageMessage }
  | { kind: 'old-page' }
  | { kind: 'unreadable'; id: string; why: string };

/** Words of log.csv that only the collector writes. */
export const OWN_WORDS: ReadonlySet<string> = new Set(['alert', 'hello', 'trouble']);
const MAX_ID = 80;

/** A page's message, or that the page is of another version, or why it cannot be read with the entry's id if it has one. */
export function readPageMessage(text: string): ReadMessage {
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    return { kind: 'unreadable', id: '', why: 'The message could not be read: it is no JSON text.' };
  }
  // The version comes first: a greeting of another version may have another shape.
  const version = fieldOf(value, 'type') === 'greet' ? fieldOf(value, 'version') : LIVE_VERSION;
  if (typeof version === 'number' && version !== LIVE_VERSION) return { kind: 'old-page' };
  const parsed = pageMessageSchema.safeParse(value);
  const id = fieldOf(fieldOf(value, 'entry'), 'id');
  const known = { kind: 'unreadable' as const, id: typeof id === 'string' && id.length <= MAX_ID ? id : '' };
  if (!parsed.success) {
    const issue = parsed.error.issues[0];
    const where = issue && issue.path.length > 0 ? ` (${issue.path.join('.')})` : '';
    return { ...known, why: `The message could not be read: ${issue?.message ?? 'unknown shape'}${where}.` };
  }
  const { data } = parsed;
  if (data.type === 'log' && OWN_WORDS.has(data.entry.log))
    return { ...known, why: `Only the collector itself writes '${data.entry.log}' in the log book.` };
  return { kind: 'message', message: data };
}

function fieldOf(value: unknown, name: string): unknown {
  return typeof value === 'object' && value !== null ? Reflect.get(value, name) : undefined;
}
