/** Something counted by tapping. */
import { PLAN } from '../words.ts';

interface CounterProps {
  words: string;
  count: number;
  steps: readonly number[];
  onMore(more: number): void;
}

export function Counter({ words, count, steps, onMore }: CounterProps) {
  return (
    <div class="counter">
      <span class="counter-words">{words}</span>
      {[...steps].reverse().map((step) => (
        <button
          key={`-${step}`}
          type="button"
          class="press choice"
          disabled={count === 0}
          aria-label={PLAN.fewer(step, words)}
          onClick={() => onMore(-step)}
        >
          −{step}
        </button>
      ))}
      <output class="counter-count" aria-label={`${words}: ${count}`}>
        {count}
      </output>
      {steps.map((step) => (
        <button
          key={step}
          type="button"
          class="press choice"
          aria-label={PLAN.more(step, words)}
          onClick={() => onMore(step)}
        >
          +{step}
        </button>
      ))}
    </div>
  );
}
