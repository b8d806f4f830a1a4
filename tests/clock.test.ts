import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { systemClock } from '../collector/clock.ts';

const DAY_MS = 86_400_000;

beforeEach(() => {
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout', 'performance'] });
});
afterEach(() => {
  vi.useRealTimers();
});

describe('a time-out of the clock', () => {
  it('longer than the 2^31 - 1 ms of Node and the browsers (HTML Standard, timers) is kept, not fired at once', () => {
    let fired = 0;
    systemClock(0).after(40 * DAY_MS, () => {
      fired += 1;
    });
    vi.advanceTimersByTime(40 * DAY_MS - 1);
    expect(fired).toBe(0);
    vi.advanceTimersByTime(2);
    expect(fired).toBe(1);
  });

  it('can be called off at any time, also one that long', () => {
    let fired = 0;
    const cancel = systemClock(0).after(40 * DAY_MS, () => {
      fired += 1;
    });
    vi.advanceTimersByTime(30 * DAY_MS);
    cancel();
    vi.advanceTimersByTime(30 * DAY_MS);
    expect(fired).toBe(0);
  });

  it('is in firing time', () => {
    let at = 0;
    const clock = systemClock(1000, 60);
    clock.after(60_000, () => {
      at = clock.now();
    });
    vi.advanceTimersByTime(1001);
    expect(at).toBe(61_000);
  });
});
