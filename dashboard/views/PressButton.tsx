/** A button for gloved hands: answers at once with a look, and takes a bounce of the finger for one press. */
import type { ComponentChildren } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';

const BOUNCE_MS = 400;
const SHOWN_FOR_MS = 1200;

interface Props {
  onPress(): void;
  children: ComponentChildren;
  class?: string;
  label?: string;
  pressed?: boolean;
  /** Presses within so long after it has appeared go unheard. */
  deafForMs?: number;
}

export function PressButton({ onPress, children, class: extra = '', label, pressed, deafForMs = 0 }: Props) {
  const [just, setJust] = useState(0);
  const lastMs = useRef(Number.NEGATIVE_INFINITY);
  const appearedMs = useRef(performance.now());
  useEffect(() => {
    if (just === 0) return;
    const timer = setTimeout(() => setJust(0), SHOWN_FOR_MS);
    return () => clearTimeout(timer);
  }, [just]);
  const press = () => {
    const nowMs = performance.now();
    if (nowMs - lastMs.current < BOUNCE_MS || nowMs - appearedMs.current < deafForMs) return;
    lastMs.current = nowMs;
    setJust(nowMs);
    onPress();
  };
  return (
    <button
      type="button"
      class={`press ${extra} ${just === 0 ? '' : 'just-pressed'}`}
      aria-label={label}
      aria-pressed={pressed}
      onClick={press}
    >
      {children}
    </button>
  );
}
