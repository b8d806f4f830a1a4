/** Spans of time ahead, beside each other. */
import { describe, expect, it } from 'vitest';
import { notSoonerThan } from '../../collector/core/forecast/spans.ts';
import type { Span } from '../../collector/core/inputs.ts';

const span = (low: number, mid: number, high: number | null): Span => ({ low, mid, high });

describe('a cone beyond salting heat', () => {
  it.each([
    // The cone's own interval is wider: it began before that of salting heat.
    [span(11.4, 16, null), span(12.4, 14, null), span(12.4, 16, null)],
    [span(3, 5, 9), span(3.6, 4, 4.5), span(3.6, 5, 9)],
    [span(3, 5, 6), span(3.6, 4, 7), span(3.6, 5, 7)],
    [span(3, 5, 6), span(3.6, 4, null), span(3.6, 5, null)],
    // One that may fall before it is left as it is.
    [span(3, 4, 6), span(4, 5, 6), span(3, 4, 6)],
    // Salting heat is reached.
    [span(1, 2, 3), span(0, 0, 0), span(1, 2, 3)],
  ])('%o beside salting heat in %o: %o', (cone, salting, told) => {
    expect(notSoonerThan(cone, salting)).toEqual(told);
  });
});
