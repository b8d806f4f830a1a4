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

/** All three lie in the same place, so that the button keeps its size under the finger. */
const WORDS: readonly [Held, string][] = [
  ['rest', SAY.holdDown],
  ['holding', SAY.keepHolding],
  ['again', SAY.pressAgain],
];

export function HoldButton({ words, onHeld }: Props) {
  const [held, setHeld] = useState<Held>('rest');
  const timer = useRef(0);
  const by = useRef<'finger' | 'key'>('finger');
  useEffect(() => () => clearTimeout(timer.current), []);

  const begin = (how: 'finger' | 'key') => {
    if (held === 'holding') return;
    by.current = how;
    setHeld('holding');
    clearTimeout(timer.current);
    timer.current = window.setTimeout(done, HOLD_MS);
  };
  const done = () => {
    clearTimeout(timer.current);
    setHeld('rest');
    onHeld();
  };
  const letGo = (how?: 'finger' | 'key') => {
    // A key that is held is not let go by a finger or a mouse that happens to lie there.
    if (held !== 'holding' || (how !== undefined && how !== by.current)) return;
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
      onPointerDown={(event) => {
        // A finger that slides a little still holds.
        event.currentTarget.setPointerCapture(event.pointerId);
        begin('finger');
      }}
      onPointerUp={() => letGo('finger')}
      onPointerCancel={() => letGo('finger')}
      onContextMenu={(event) => event.preventDefault()}
      onKeyDown={(event) => {
        if (!isKey(event)) return;
        event.preventDefault();
        if (!event.repeat) begin('key');
      }}
      onKeyUp={(event) => {
        if (!isKey(event)) return;
        event.preventDefault();
        letGo('key');
      }}
      onBlur={() => letGo()}
      onClick={pressed}
    >
      <span class="hold-fill" />
      <span class="press-word">{words}</span>
      <span class="press-small hold-words">
        {WORDS.map(([state, text]) => (
          <span key={state} class={state === held ? '' : 'is-hidden'} aria-hidden={state !== held}>
            {text}
          </span>
        ))}
      </span>
    </button>
  );
}
