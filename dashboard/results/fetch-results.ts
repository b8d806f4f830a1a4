/** Asks the collector for what came out of a firing, and has it keep what was counted. */
import { z } from 'zod';
import { type Results, resultsConflictSchema, resultsSchema } from '../../protocol/results.ts';

const saidSchema = z.object({ text: z.string() });

/** Null where the collector is not heard. `text`: why not, in the collector's words. */
type Answer =
  | { kind: 'results'; results: Results }
  | { kind: 'newer'; results: Results; text: string }
  | { kind: 'no'; text: string };

async function ask(id: string, init: RequestInit): Promise<Answer | null> {
  try {
    const answer = await fetch(`api/firings/${encodeURIComponent(id)}/results`, init);
    const body: unknown = await answer.json();
    if (answer.ok) return { kind: 'results', results: resultsSchema.parse(body) };
    if (answer.status === 409) return { kind: 'newer', ...resultsConflictSchema.parse(body) };
    return { kind: 'no', ...saidSchema.parse(body) };
  } catch {
    return null;
  }
}

export function fetchResults(id: string): Promise<Answer | null> {
  return ask(id, {});
}

export function keepResults(id: string, results: Results): Promise<Answer | null> {
  return ask(id, {
    method: 'PUT',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify(results),
  });
}
