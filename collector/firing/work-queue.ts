/** One input after the other, each to its end. */
import type { PipelineInput } from './pipeline.ts';

/**
 * What an input leads to (a button's log entry, say) waits until the input is worked off. The answer of a run is null, or
 * why its input was not worked off, in a sentence; null for one that waits.
 */
export function newWorkQueue(work: (input: PipelineInput) => string | null) {
  const waiting: PipelineInput[] = [];
  return (input: PipelineInput): string | null => {
    waiting.push(input);
    if (waiting.length > 1) return null;
    let wrong: string | null = null;
    for (let next = waiting[0]; next !== undefined; next = waiting[0]) {
      const failed = work(next);
      if (next === input) wrong = failed;
      waiting.shift();
    }
    return wrong;
  };
}
