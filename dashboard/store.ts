/** Holds the page's state and its curve, feeds both from the same messages, and tells the views, not more often than needed. */
import type { CollectorMessage } from '../protocol/live-messages.ts';
import { type Columns, columnsFrom, emptyColumns, layInStretch, pushReading } from './curve/columns.ts';
import { freshnessOf } from './freshness.ts';
import { type PageEvent, type PageState, reduce } from './state.ts';

export interface Store {
  get(): PageState;
  columns(): Columns;
  dispatch(event: PageEvent): void;
  /** A finer stretch of this firing's curve has come. */
  refine(stretch: Parameters<typeof layInStretch>[1]): void;
  /** Called after changes; the answer ends it. */
  subscribe(fn: () => void): () => void;
}

/** Views follow messages at most this often: a demo kiln sends hundreds a second. */
const NEWS_EVERY_MS = 200;

/** `after` calls once after so many ms. */
export function createStore(first: PageState, after: (delayMs: number, fn: () => void) => void): Store {
  let state = first;
  let columns = emptyColumns();
  let pending = false;
  const listeners = new Set<() => void>();

  const tell = () => {
    pending = false;
    for (const listener of listeners) listener();
  };

  const draw = (message: CollectorMessage, before: PageState) => {
    if (message.type === 'welcome' && state.run === message.run) columns = columnsFrom(message.curve);
    // Only what the reducer has taken: a message out of its turn is asked for again.
    if (message.type === 'reading' && state.n === message.n && before.n !== state.n)
      pushReading(columns, message, message.torn ? 0 : freshnessOf(before).staleAfterMs);
  };

  return {
    get: () => state,
    columns: () => columns,
    dispatch(event) {
      const before = state;
      state = reduce(state, event);
      if (event.kind === 'message') draw(event.message, before);
      if (event.kind === 'kept' && state.firing !== before.firing) columns = columnsFrom(event.welcome.curve);
      if (event.kind !== 'message') return tell();
      if (pending) return;
      pending = true;
      after(NEWS_EVERY_MS, tell);
    },
    refine(stretch) {
      layInStretch(columns, stretch);
      tell();
    },
    subscribe(fn) {
      listeners.add(fn);
      return () => listeners.delete(fn);
    },
  };
}
