/** The newest numbered messages, kept as the bytes that go to every page: bounded by number and by size. */

export interface Ring {
  /** Number of the newest message; 0 before the first. */
  newest: number;
  /** Messages by their number modulo the ring's size. */
  slots: (Buffer | undefined)[];
  /** Number of the oldest message that is still kept. */
  oldest: number;
  bytes: number;
  maxBytes: number;
}

/** `maxBytes` holds for all messages together; a single one that is larger is still kept. */
export function newRing(maxMessages: number, maxBytes: number): Ring {
  return { newest: 0, slots: new Array(maxMessages).fill(undefined), oldest: 1, bytes: 0, maxBytes };
}

/** Adds the message numbered `ring.newest + 1`, and lets the oldest go. */
export function pushMessage(ring: Ring, message: Buffer): void {
  ring.newest += 1;
  if (ring.newest - ring.oldest >= ring.slots.length) dropOldest(ring);
  ring.slots[ring.newest % ring.slots.length] = message;
  ring.bytes += message.length;
  while (ring.bytes > ring.maxBytes && ring.oldest < ring.newest) dropOldest(ring);
}

/** Counts a message that nobody can ask for: nothing is kept up to it. */
export function skipMessage(ring: Ring): void {
  while (ring.oldest <= ring.newest) dropOldest(ring);
  ring.newest += 1;
  ring.oldest = ring.newest + 1;
}

function dropOldest(ring: Ring): void {
  const slot = ring.oldest % ring.slots.length;
  ring.bytes -= ring.slots[slot]?.length ?? 0;
  ring.slots[slot] = undefined;
  ring.oldest += 1;
}

/** The message numbered `n`, or null if it is not kept or not yet made. */
export function messageOf(ring: Ring, n: number): Buffer | null {
  if (n < ring.oldest || n > ring.newest) return null;
  return ring.slots[n % ring.slots.length] ?? null;
}

/** Whether every message after `n` is still kept. */
export function keepsAfter(ring: Ring, n: number): boolean {
  return n <= ring.newest && n + 1 >= ring.oldest;
}

/** How many bytes the kept messages after `n` have together. */
export function bytesAfter(ring: Ring, n: number): number {
  let bytes = 0;
  for (let each = Math.max(n + 1, ring.oldest); each <= ring.newest; each += 1) {
    bytes += ring.slots[each % ring.slots.length]?.length ?? 0;
  }
  return bytes;
}
