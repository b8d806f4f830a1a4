import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { sleepMeter } from '../collector/asleep.ts';
import { systemClock, waitingMs } from '../collector/clock.ts';

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

describe('a computer that sleeps', () => {
  /** Two clocks of a system, moved by hand: one stands still during sleep. */
  function system() {
    let awakeMs = 0;
    let sleptMs = 0;
    const meter = sleepMeter(
      () => Math.floor((awakeMs + sleptMs) / 1000) * 1000,
      () => awakeMs,
    );
    return {
      meter,
      wake: (ms: number) => {
        awakeMs += ms;
      },
      sleep: (ms: number) => {
        sleptMs += ms;
      },
    };
  }

  it('is known by its uptime, to the second, however often it sleeps', () => {
    const { meter, wake, sleep } = system();
    wake(3_600_123);
    expect(meter()).toBe(0);
    sleep(3_600_000);
    expect(Math.abs(meter() - 3_600_000)).toBeLessThanOrEqual(1000);
    wake(500);
    sleep(60_000);
    wake(86_400_000);
    expect(Math.abs(meter() - 3_660_000)).toBeLessThanOrEqual(2000);
  });

  it('loses no firing time, whatever is read in between', () => {
    const { meter, sleep } = system();
    const clock = systemClock(1000, 1, meter);
    const times = [clock.now()];
    sleep(3_600_000);
    vi.advanceTimersByTime(10);
    times.push(clock.now(), clock.now());
    expect(times).toEqual([1000, 3_601_010, 3_601_010]);
  });

  it('tells nothing else for sleep', () => {
    const { meter, wake } = system();
    for (let i = 0; i < 1000; i += 1) {
      wake(777.7);
      expect(meter()).toBe(0);
    }
  });
});

describe('a kiln that is made up faster than the machine can reckon', () => {
  const MINUTE_MS = 60_000;

  it('waits for the machine: no stretch that is to be worked off at once grows longer than 20 minutes of it', () => {
    const rate = 100_000;
    const clock = systemClock(0, rate, undefined, waitingMs(rate));
    let doneTo = clock.now();
    let longestMs = 0;
    // Each stretch takes eight times as long as it is to take: unchecked, each would be eight times the one before.
    for (let turn = 0; turn < 50; turn += 1) {
      vi.advanceTimersByTime(8);
      const stretchMs = clock.now() - doneTo;
      longestMs = Math.max(longestMs, stretchMs);
      doneTo += stretchMs;
      vi.advanceTimersByTime((8 * stretchMs) / rate);
    }
    expect(longestMs).toBeGreaterThan(10 * MINUTE_MS);
    expect(longestMs).toBeLessThanOrEqual(20 * MINUTE_MS);
  });

  it('loses nothing where the machine keeps up, at any pace', () => {
    for (const rate of [0.01, 1, 240, 100_000]) {
      const clock = systemClock(0, rate, undefined, waitingMs(rate));
      for (let look = 0; look < 40; look += 1) {
        vi.advanceTimersByTime(rate > 1000 ? 8 : 250);
        clock.now();
      }
      expect(clock.now()).toBeCloseTo((rate > 1000 ? 320 : 10_000) * rate, 3);
    }
  });
});
