/**
 * Keeps what lies under a thumb where it is. When an alert comes in above, most browsers hold the scrolled page in its
 * place by themselves; where they do not (Safari), it is done here.
 */
import type { RefObject } from 'preact';
import { useEffect, useLayoutEffect, useRef } from 'preact/hooks';

function browserHoldsIt(): boolean {
  return typeof CSS !== 'undefined' && CSS.supports('overflow-anchor', 'auto');
}

/** For the element that must not move on the screen once it has been scrolled to. */
export function useSteadyScroll(): RefObject<HTMLDivElement> {
  const held = useRef<HTMLDivElement>(null);
  const lastTop = useRef<number | null>(null);
  const remember = () => {
    lastTop.current = held.current?.getBoundingClientRect().top ?? null;
  };
  useEffect(() => {
    if (browserHoldsIt()) return;
    window.addEventListener('scroll', remember, { passive: true });
    return () => window.removeEventListener('scroll', remember);
  }, []);
  useLayoutEffect(() => {
    if (browserHoldsIt() || !held.current) return;
    const top = held.current.getBoundingClientRect().top;
    const before = lastTop.current;
    // Seen only once it has come up from below the screen's edge.
    if (before !== null && before < window.innerHeight / 2 && top !== before)
      window.scrollBy(0, top - before);
    remember();
  });
  return held;
}
