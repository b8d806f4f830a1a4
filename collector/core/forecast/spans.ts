/** How spans of time ahead go together. */
import type { Span } from '../inputs.ts';

/**
 * What lies behind another thing is not there before it: a cone beyond salting heat, whose own interval is wider. By their
 * middles, which are of one forecast; one that may fall before the other is left as it is.
 */
export function notSoonerThan(span: Span, other: Span): Span {
  if (span.mid < other.mid) return span;
  const high = span.high === null || other.high === null ? null : Math.max(span.high, other.high);
  return { low: Math.max(span.low, other.low), mid: span.mid, high };
}
