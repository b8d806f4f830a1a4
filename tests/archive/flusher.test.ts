import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import { createFlusher } from '../../collector/archive/flusher.ts';

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
});

/** A disk that answers when it is let. */
function slowDisk() {
  const told: (string | null)[] = [];
  let answer: () => void = () => undefined;
  const write = () =>
    new Promise<void>((resolve) => {
      answer = resolve;
    });
  const flusher = createFlusher({
    steps: [{ write, unsettled: () => false }],
    folder: '/firing',
    onTrouble: (text) => told.push(text),
    onGone: () => undefined,
  });
  return { told, flusher, answer: () => answer() };
}

it('a disk that does not answer for half a minute is told of, and that it answers again', async () => {
  const { told, flusher, answer } = slowDisk();
  const written = flusher.now();
  await vi.advanceTimersByTimeAsync(29_000);
  expect(told).toEqual([]);
  await vi.advanceTimersByTimeAsync(60_000);
  expect(told).toEqual([expect.stringMatching(/^The disk does not answer/)]);
  answer();
  await written;
  expect(told.at(-1)).toBeNull();
  expect(vi.getTimerCount()).toBe(0);
});

it('a process that was stopped does not blame the disk: its timers run out once, however long that was', async () => {
  const { told, flusher, answer } = slowDisk();
  const written = flusher.now();
  await vi.advanceTimersByTimeAsync(10_000);
  // What a stopped process finds when it goes on: each timer that it had set is due, once, before the disk is heard.
  vi.advanceTimersToNextTimer();
  answer();
  await written;
  expect(told).toEqual([]);
});
