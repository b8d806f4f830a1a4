/** One event after the other, each to its end. */

/**
 * What an event leads to (a line that a link hands on while it is asked for more, say) waits until the event is worked
 * off. The answer of a run is null, or why its event was not worked off, in a sentence; null for one that waits.
 */
export function newWorkQueue<Event>(work: (event: Event) => string | null) {
  const waiting: Event[] = [];
  return (event: Event): string | null => {
    waiting.push(event);
    if (waiting.length > 1) return null;
    let wrong: string | null = null;
    for (let next = waiting[0]; next !== undefined; next = waiting[0]) {
      const failed = work(next);
      if (next === event) wrong = failed;
      waiting.shift();
    }
    return wrong;
  };
}
