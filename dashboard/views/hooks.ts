/** What the views share: following the store, and not saying the same thing too often to a screen reader. */
import { useEffect, useRef, useState } from 'preact/hooks';
import type { Spoken } from '../spoken.ts';
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

/**
 * Text for a live region: it is said anew when its key has changed, at most once a minute, and at once when `urgentKey`
 * changes.
 */
export function useSpoken({ text, key }: Spoken, urgentKey: string): string {
  const [spoken, setSpoken] = useState(text);
  const last = useRef({ atMs: 0, key, urgentKey });
  useEffect(() => {
    const nowMs = performance.now();
    const urgent = last.current.urgentKey !== urgentKey;
    if (!urgent && (last.current.key === key || nowMs - last.current.atMs < SPEAK_EVERY_MS)) return;
    last.current = { atMs: nowMs, key, urgentKey };
    setSpoken(text);
  }, [text, urgentKey]);
  return spoken;
}

/** Text for a live region that follows what goes by quickly: at most once in `everyMs`, the newest at the end. */
export function useFollowed(text: string, everyMs: number): string {
  const [followed, setFollowed] = useState(text);
  const saidAt = useRef(Number.NEGATIVE_INFINITY);
  useEffect(() => {
    const waitMs = Math.max(0, saidAt.current + everyMs - performance.now());
    const timer = setTimeout(() => {
      saidAt.current = performance.now();
      setFollowed(text);
    }, waitMs);
    return () => clearTimeout(timer);
  }, [text, everyMs]);
  return followed;
}
