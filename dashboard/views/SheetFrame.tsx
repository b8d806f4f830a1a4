/** Holds the paper: on a screen narrower than it, the whole of it made smaller, or as large as printed and moved by hand. */
import type { ComponentChildren } from 'preact';
import { useLayoutEffect, useRef, useState } from 'preact/hooks';
import { SHEET } from '../words.ts';

export function SheetFrame({ children }: { children: ComponentChildren }) {
  const frame = useRef<HTMLDivElement>(null);
  const [large, setLarge] = useState(false);
  const [fits, setFits] = useState(1);
  useLayoutEffect(() => {
    const box = frame.current;
    const sheet = box?.querySelector<HTMLElement>('.sheet');
    if (!box || !sheet) return;
    const toWidth = () => {
      box.style.setProperty('--fits', '1');
      const now = Math.min(1, box.clientWidth / sheet.offsetWidth);
      box.style.setProperty('--fits', large ? '1' : `${now}`);
      setFits(now);
    };
    toWidth();
    // The width alone counts: the height follows from what is done here.
    let width = box.clientWidth;
    const watch = new ResizeObserver(() => {
      if (box.clientWidth === width) return;
      width = box.clientWidth;
      toWidth();
    });
    watch.observe(box);
    return () => watch.disconnect();
  }, [large, children]);
  return (
    <>
      {fits < 1 && (
        <button type="button" class="press plain no-print" onClick={() => setLarge(!large)}>
          {large ? SHEET.small : SHEET.large}
        </button>
      )}
      <div ref={frame} class="sheet-frame">
        {children}
      </div>
    </>
  );
}
