/**
 * A button that must be held down for a second: for the few steps of a firing that nobody should take by brushing past.
 * Works with a finger, with Enter or Space held, and, where a helper program can only press, by pressing twice.
 */
import { useEffect, useRef, useState } from 'preact/hooks';
import { SAY } from '../words.ts';

const HOLD_MS = 1000;
const SURE_WITHIN_MS = 6000;

interface Props {
  words: string;
  onHeld(): void;
}

type Held = 'rest' | 'holding' | 'again';

export function HoldButton({ words, onHeld }: Props) {
  const [held, setHeld] = useState<Held>('rest');
  const timer = useRef(0);
  useEffect(() => () => clearTimeout(timer.current), []);

  const begin = () => {
    if (held === 'holding') return;
    setHeld('holding');
    clearTimeout(timer.current);
    timer.current = window.setTimeout(done, HOLD_MS);
  };
  const done = () => {
    clearTimeout(timer.current);
    setHeld('rest');
    onHeld();
  };
  const letGo = () => {
    if (held !== 'holding') return;
    clearTimeout(timer.current);
    setHeld('rest');
  };
  /** A press without a finger or a key behind it: a screen reader's or a switch's. */
  const pressed = (event: MouseEvent) => {
    if (event.detail > 0) return;
    if (held === 'again') return done();
    setHeld('again');
    timer.current = window.setTimeout(() => setHeld('rest'), SURE_WITHIN_MS);
  };
  const isKey = (event: KeyboardEvent) => event.key === 'Enter' || event.key === ' ';

  return (
    <button
      type="button"
      class={`press hold hold-${held}`}
      onPointerDown={begin}
      onPointerUp={letGo}
      onPointerLeave={letGo}
      onPointerCancel={letGo}
      onContextMenu={(event) => event.preventDefault()}
      onKeyDown={(event) => {
        if (!isKey(event)) return;
        event.preventDefault();
        if (!event.repeat) begin();
      }}
      onKeyUp={(event) => {
        if (!isKey(event)) return;
        event.preventDefault();
        letGo();
      }}
      onBlur={letGo}
      onClick={pressed}
    >
      <span class="hold-fill" />
      <span class="press-word">{words}</span>
      <span class="press-small">
        {held === 'holding' ? SAY.keepHolding : held === 'again' ? SAY.pressAgain : SAY.holdDown}
      </span>
    </button>
  );
}
