/** What the views share: following the store, and not saying the same thing too often to a screen reader. */
import { useEffect, useRef, useState } from 'preact/hooks';
import type { PageState } from '../state.ts';
import type { Store } from '../store.ts';

/** The page's state; renders anew when it changes. */
export function usePageState(store: Store): PageState {
  const [state, setState] = useState(store.get());
  useEffect(() => {
    setState(store.get());
    return store.subscribe(() => setState(store.get()));
  }, [store]);
  return state;
}

const SPEAK_EVERY_MS = 60_000;

/** Text for a live region: follows `text` at most once a minute, or at once when `urgentKey` changes. */
export function useSpoken(text: string, urgentKey: string): string {
  const [spoken, setSpoken] = useState(text);
  const last = useRef({ atMs: 0, urgentKey });
  useEffect(() => {
    const nowMs = performance.now();
    const urgent = last.current.urgentKey !== urgentKey;
    if (!urgent && nowMs - last.current.atMs < SPEAK_EVERY_MS) return;
    last.current = { atMs: nowMs, urgentKey };
    setSpoken(text);
  }, [text, urgentKey]);
  return spoken;
}
