/**
 * When a reading was that comes late: the board's uptime says it, through the fit of the board's clock. A ceramic
 * resonator may be 0.5 % off (common practice, no source); the link delays each line by an exponential time, and one in
 * a hundred by up to two seconds more.
 */
import { describe, expect, test } from 'vitest';
import { hostTimeOf, newBoardClock, noteArrival } from '../../collector/lines/board-clock.ts';
import { randomFrom } from './fake-board.ts';

const START = Date.UTC(2031, 2, 8, 5);
const MINUTE = 60_000;

interface Scene {
  periodMs: number;
  /** Board milliseconds in a true one. */
  rate: number;
  /** For how long the board is heard, and for how long it then is not. */
  heardMinutes: number;
  outMinutes: number;
  /** So many readings have come in time after the gap when the late ones are timed. */
  afterwards: number;
  /** What arrives between these two is heard at the second: true ms since the start. */
  asleep?: [number, number];
}

/** The greatest error of the times of all readings in the gap, ms. */
function worstInGap(scene: Scene, seed: number): number {
  const { periodMs, rate, heardMinutes, outMinutes, afterwards, asleep = [0, 0] } = scene;
  const random = randomFrom(seed);
  const clock = newBoardClock();
  const uptimeAt = (trueMs: number) => Math.round(5000 + trueMs * rate);
  let lastAt = 0;
  const hear = (trueMs: number) => {
    const hiccupMs = random() < 0.01 ? random() * 2000 : 0;
    const arrivedMs = trueMs - Math.log(1 - random()) * 30 + hiccupMs;
    const isAsleep = arrivedMs >= asleep[0] && arrivedMs < asleep[1];
    lastAt = Math.max(lastAt, START + (isAsleep ? asleep[1] : arrivedMs));
    noteArrival(clock, uptimeAt(trueMs), lastAt);
  };
  const gapFrom = heardMinutes * MINUTE;
  const gapTo = gapFrom + outMinutes * MINUTE;
  for (let ms = 0; ms <= gapFrom; ms += periodMs) hear(ms);
  for (let n = 1; n <= afterwards; n += 1) hear(gapTo + n * periodMs);
  let worst = 0;
  for (let ms = gapFrom + periodMs; ms <= gapTo; ms += periodMs) {
    const told = hostTimeOf(clock, uptimeAt(ms)) ?? Number.NaN;
    worst = Math.max(worst, Math.abs(told - START - ms));
  }
  return worst;
}

describe('once 10 min have been seen, a late reading is within 50 ms of the truth', () => {
  const rates = [0.995, 1, 1.005];
  const gaps = [
    { periodMs: 1000, outMinutes: 1, afterwards: 1 },
    { periodMs: 1000, outMinutes: 15, afterwards: 1 },
    { periodMs: 1000, outMinutes: 60, afterwards: 1 },
    { periodMs: 1000, outMinutes: 60, afterwards: 30 },
    { periodMs: 1000, outMinutes: 120, afterwards: 300 },
    // Sixty readings in the ten minutes.
    { periodMs: 10_000, outMinutes: 15, afterwards: 1 },
  ];
  test.each(rates.flatMap((rate) => gaps.map((gap) => ({ rate, ...gap }))))(
    'rate $rate, a reading each $periodMs ms, out for $outMinutes min, timed $afterwards readings after it',
    (gap) => {
      const seeds = gap.periodMs > 1000 ? 40 : 8;
      for (let seed = 1; seed <= seeds; seed += 1)
        expect(worstInGap({ heardMinutes: 10, ...gap }, seed)).toBeLessThan(50);
    },
  );
});

/**
 * One new reading may itself be late, so a long gap is timed after six. With fewer no estimate could do it: with the noise
 * known to a hair, the mean of all clocks that sixty readings and one after them allow is within 50 ms of the truth in
 * 97.7 of 100 gaps of two hours (worked out on a grid of clocks, once).
 */
test.each(
  [10_000, 20_000].flatMap((periodMs) => [20, 60, 120, 345].map((outMinutes) => ({ periodMs, outMinutes }))),
)('a reading each $periodMs ms, out for $outMinutes min: within 50 ms in each of 200 gaps', (gap) => {
  for (let seed = 1; seed <= 200; seed += 1)
    expect(worstInGap({ rate: 1.005, heardMinutes: 10, afterwards: 6, ...gap }, seed)).toBeLessThan(50);
});

test.each([
  { when: 'at the start', from: 0 },
  { when: 'in the middle', from: 4 },
  { when: 'at the end', from: 8.5 },
])('a computer that slept for a minute and a half $when makes no difference', ({ from }) => {
  for (let seed = 1; seed <= 8; seed += 1) {
    const asleep: [number, number] = [from * MINUTE, (from + 1.5) * MINUTE];
    const scene = { periodMs: 1000, rate: 1.005, heardMinutes: 10, outMinutes: 60, afterwards: 1, asleep };
    expect(worstInGap(scene, seed)).toBeLessThan(50);
  }
});

test('a clock that was lost for longer than six hours is fitted anew', () => {
  const clock = newBoardClock();
  for (let n = 0; n <= 600; n += 1) noteArrival(clock, n * 1000, START + n * 1000);
  const later = 7 * 60 * MINUTE;
  // The board has drifted by three seconds meanwhile: nothing of that stays in the line.
  noteArrival(clock, later, START + later + 3000);
  expect(hostTimeOf(clock, later)).toBe(START + later + 3000);
  expect(clock.blocks).toHaveLength(1);
});
