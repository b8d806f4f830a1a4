import { describe, expect, test } from 'vitest';
import { hostTimeOf, newBoardClock, noteArrival } from '../../collector/lines/board-clock.ts';
import { randomFrom } from './fake-board.ts';

const START = Date.UTC(2031, 2, 8, 5);
const MINUTE = 60_000;

interface Scene {
  /** Board milliseconds in a true one. */
  rate: number;
  periodMs: number;
  /** Mean of the exponential delay of an arrival. */
  delayMs: number;
  /** One arrival in a hundred is late by up to so much. */
  hiccupMs: number;
  minutes: number;
}

/** How far the steadied time of each reading was from the truth: `[true ms since the start, error in ms]`. */
function errors(scene: Scene, seed: number): [number, number][] {
  const random = randomFrom(seed);
  const clock = newBoardClock();
  const found: [number, number][] = [];
  let lastAt = 0;
  for (let trueMs = 0; trueMs <= scene.minutes * MINUTE; trueMs += scene.periodMs) {
    const uptimeMs = Math.round(5000 + trueMs * scene.rate);
    const hiccupMs = random() < 0.01 ? random() * scene.hiccupMs : 0;
    const at = Math.max(lastAt, START + trueMs - Math.log(1 - random()) * scene.delayMs + hiccupMs);
    lastAt = at;
    noteArrival(clock, uptimeMs, at);
    found.push([trueMs, (hostTimeOf(clock, uptimeMs) ?? Number.NaN) - START - trueMs]);
  }
  return found;
}

const worst = (found: [number, number][], fromMinute: number) =>
  Math.max(...found.filter(([ms]) => ms >= fromMinute * MINUTE).map(([, error]) => Math.abs(error)));

describe('once 10 min have been seen, a time is within 50 ms of the truth', () => {
  const usual = { delayMs: 30, hiccupMs: 2000, minutes: 70 };
  test.each<Scene>([
    { ...usual, rate: 1, periodMs: 1000 },
    { ...usual, rate: 1.005, periodMs: 1000 },
    { ...usual, rate: 0.995, periodMs: 1000 },
    { ...usual, rate: 1.005, periodMs: 250 },
    { ...usual, rate: 0.995, periodMs: 10_000 },
    { ...usual, rate: 1.02, periodMs: 1000 },
    { ...usual, rate: 0.98, periodMs: 1000 },
    { ...usual, rate: 1.005, periodMs: 1000, delayMs: 80 },
  ])('rate $rate, a reading each $periodMs ms, delay $delayMs ms', (scene) => {
    for (let seed = 1; seed <= 5; seed += 1) expect(worst(errors(scene, seed), 10)).toBeLessThan(50);
  });
});

test('without any delay it is exact to the rounding of the uptime, with a steady rate', () => {
  const found = errors({ rate: 1.004, periodMs: 1000, delayMs: 0, hiccupMs: 0, minutes: 60 }, 1);
  expect(worst(found, 5)).toBeLessThan(1.5);
});

test('a host clock that is speeded up, with delays of seconds, is followed within its delays', () => {
  for (let seed = 1; seed <= 5; seed += 1) {
    const scene = { rate: 1.003, periodMs: 10_000, delayMs: 3000, hiccupMs: 20_000, minutes: 120 };
    expect(worst(errors(scene, seed), 10)).toBeLessThan(2000);
  }
});

test('a time is never later than its arrival', () => {
  const random = randomFrom(7);
  const clock = newBoardClock();
  for (let n = 0; n < 5000; n += 1) {
    const at = START + n * 1000 + random() * 5000;
    noteArrival(clock, n * 1010, at);
    expect(hostTimeOf(clock, n * 1010)).toBeLessThanOrEqual(at + 1e-3);
  }
});

test('a clock that is further off than 2 % is not believed', () => {
  const clock = newBoardClock();
  for (let n = 0; n < 1200; n += 1) noteArrival(clock, n * 1000, START + n * 1100);
  const perMs = ((hostTimeOf(clock, 1_300_000) ?? 0) - (hostTimeOf(clock, 1_200_000) ?? 0)) / 100_000;
  expect(perMs).toBeCloseTo(1 / 0.98, 6);
});

test('until enough has been seen the rate is 1 and the offset the least', () => {
  const clock = newBoardClock();
  expect(hostTimeOf(clock, 0)).toBeNull();
  noteArrival(clock, 1000, START + 300);
  noteArrival(clock, 2000, START + 1100);
  noteArrival(clock, 3000, START + 2500);
  expect(hostTimeOf(clock, 3000)).toBe(START + 2100);
  expect(hostTimeOf(clock, 0)).toBe(START - 900);
});

test('only the last half hour counts: a board whose clock drifts is followed', () => {
  const clock = newBoardClock();
  let trueMs = 0;
  let uptimeMs = 0;
  for (let n = 0; n < 4 * 3600; n += 1) {
    trueMs += 1000;
    // From 0.4 % slow to 0.4 % fast within four hours.
    uptimeMs += 1000 * (0.996 + (0.008 * n) / (4 * 3600));
    noteArrival(clock, uptimeMs, START + trueMs);
  }
  expect(Math.abs((hostTimeOf(clock, uptimeMs) ?? 0) - START - trueMs)).toBeLessThan(300);
  expect(clock.blocks.length).toBeLessThanOrEqual(32);
});

test('after a gap the last rate is kept until a new one can be fitted', () => {
  const clock = newBoardClock();
  for (let n = 0; n <= 1800; n += 1) noteArrival(clock, n * 1005, START + n * 1000);
  const resumed = 3 * 3600;
  noteArrival(clock, resumed * 1005, START + resumed * 1000);
  const missed = 2 * 3600;
  expect(hostTimeOf(clock, missed * 1005)).toBeCloseTo(START + missed * 1000, -1);
});
