/** A clock that a test moves on by hand. */
import type { Clock } from '../../collector/clock.ts';

export interface HandClock extends Clock {
  advance(ms: number): void;
  /** Time-outs that are set. */
  waiting(): number;
}

export function handClock(startMs = 0): HandClock {
  let nowMs = startMs;
  let timers: { at: number; fn: () => void }[] = [];
  return {
    rate: 1,
    now: () => nowMs,
    after: (delayMs, fn) => {
      const timer = { at: nowMs + Math.max(0, delayMs), fn };
      timers.push(timer);
      return () => {
        timers = timers.filter((other) => other !== timer);
      };
    },
    advance: (ms) => {
      const end = nowMs + ms;
      for (;;) {
        const next = timers.filter(({ at }) => at <= end).sort((a, b) => a.at - b.at)[0];
        if (!next) break;
        timers = timers.filter((timer) => timer !== next);
        nowMs = Math.max(nowMs, next.at);
        next.fn();
      }
      nowMs = end;
    },
    waiting: () => timers.length,
    skip: (ms) => {
      nowMs += ms;
    },
  };
}

/** Lets everything happen that waits for the event loop alone, or, `onDisk`, for the file system too. */
async function settled(onDisk: boolean): Promise<void> {
  if (onDisk) await new Promise((resolve) => setTimeout(resolve, 5));
  for (let turn = 0; turn < 3; turn += 1) await new Promise(setImmediate);
}

interface HowToRun {
  stepMs?: number;
  onDisk?: boolean;
}

/** Moves the clock on in steps, and lets happen between them what follows from each. */
export async function runClock(clock: HandClock, ms: number, how: HowToRun = {}): Promise<void> {
  const { stepMs = 50, onDisk = false } = how;
  for (let done = 0; done < ms; done += stepMs) {
    await settled(onDisk);
    clock.advance(Math.min(stepMs, ms - done));
  }
  await settled(onDisk);
}

/** Moves the clock on until `holds`, for at most an hour of its time. */
export async function runClockUntil(
  clock: HandClock,
  holds: () => boolean,
  how: HowToRun = {},
): Promise<void> {
  const deadline = clock.now() + 3_600_000;
  const { stepMs = 50, onDisk = false } = how;
  await settled(onDisk);
  while (!holds()) {
    if (clock.now() > deadline)
      throw new Error('an hour of the clock has passed, and it still does not hold');
    clock.advance(stepMs);
    await settled(onDisk);
  }
}
