/** How the kiln climbs from now on, and how its intervals are learnt. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  type ClimbNow,
  climbPath,
  learnClimb,
  levelAt,
  newClimbLearnt,
} from '../../collector/core/forecast/climb-ahead.ts';
import { judgeWidths, newWidths, widthAt } from '../../collector/core/forecast/widths.ts';
import { HOUR_MS, MINUTE_MS, planOf } from '../support/kiln.ts';

const plan = planOf();
const now = (levelC: number, climbCPerH: number): ClimbNow => ({ levelC, climbCPerH, climbSdCPerH: 8 });

/** Learns a climb of `climbCPerH` for so many hours up to `levelC`. */
function learnt(levelC: number, climbCPerH: number, hours = 4) {
  const state = newClimbLearnt();
  for (let minute = -60 * hours; minute <= 0; minute += 1)
    learnClimb(state, minute * MINUTE_MS, now(levelC + (climbCPerH * minute) / 60, climbCPerH), plan, 'low');
  return state;
}

describe('the path ahead', () => {
  test('far below the top goes on as the kiln has climbed', () => {
    const path = climbPath(learnt(600, 70), now(600, 70), plan, [], 4 * HOUR_MS);
    for (const h of [1, 2, 3]) expect(levelAt(path, h * HOUR_MS).midC).toBeCloseTo(600 + 70 * h, 0);
  });

  test('a climb of now that is another goes back to the usual one within the hour', () => {
    const path = climbPath(learnt(600, 70), now(600, 20), plan, [], 4 * HOUR_MS);
    const [one, two] = [levelAt(path, HOUR_MS).midC, levelAt(path, 2 * HOUR_MS).midC];
    expect(one).toBeLessThan(665);
    expect(two - one).toBeGreaterThan(60);
  });

  test('a stall is learnt only a little: a kiln that has stood still for an hour is expected to climb again', () => {
    const state = learnt(900, 70);
    for (let minute = 1; minute <= 60; minute += 1)
      learnClimb(state, minute * MINUTE_MS, now(900, 2), plan, 'low');
    const path = climbPath(state, now(900, 2), plan, [], 3 * HOUR_MS);
    expect(levelAt(path, 3 * HOUR_MS).midC).toBeGreaterThan(1000);
  });

  test('slows toward the top, and goes no hotter', () => {
    const path = climbPath(learnt(1000, 70), now(1000, 70), plan, [], 30 * HOUR_MS);
    const steps = path.midC.slice(1).map((tempC, i) => tempC - (path.midC[i] ?? 0));
    expect(steps[18]).toBeLessThan(0.7 * (steps[0] ?? 0));
    expect(Math.max(...path.midC)).toBeLessThanOrEqual(plan.topC);
  });

  test('is kept for the holds on the way', () => {
    const state = learnt(600, 70);
    const hold = { atC: 640, minutes: 60 };
    const [bare, held] = [[], [hold]].map((holds) =>
      climbPath(state, now(600, 70), plan, holds, 6 * HOUR_MS),
    );
    expect(levelAt(held ?? bare ?? never(), HOUR_MS).midC).toBeCloseTo(640, 6);
    const crossing = (path: typeof bare, atC: number) =>
      (path ?? never()).midC.findIndex((c) => c >= atC) / 6;
    expect(crossing(held, 750) - crossing(bare, 750)).toBeCloseTo(1, 0);
  });

  test('the middle lies within the interval, which grows with the time ahead', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 160, max: 1270 }),
        fc.integer({ min: -60, max: 200 }),
        fc.integer({ min: 5, max: 150 }),
        (levelC, climbCPerH, usual) => {
          const path = climbPath(learnt(levelC, usual, 1), now(levelC, climbCPerH), plan, [], 12 * HOUR_MS);
          path.midC.forEach((midC, i) => {
            expect(path.lowC[i]).toBeLessThan(midC);
            expect(path.highC[i]).toBeGreaterThan(midC);
          });
          const width = (i: number) => (path.highC[i] ?? 0) - (path.lowC[i] ?? 0);
          if (levelC < 900 && climbCPerH > 0) expect(width(12)).toBeGreaterThan(width(2));
        },
      ),
      { numRuns: 40 },
    );
  });
});

function never(): never {
  throw new Error('no path');
}

describe('the width of the intervals', () => {
  /** Forecasts once a minute of a level that is truly off by a random number of deviations; wanted: 80 % within. */
  function coverAfter(trueSdC: number): { cover: number; factor: number } {
    const widths = newWidths([MINUTE_MS], [0.07]);
    let seed = 1;
    const random = () => {
      seed = (seed * 48_271) % 2_147_483_647;
      return seed / 2_147_483_647;
    };
    let within = 0;
    let asked = 0;
    for (let minute = 0; minute < 3000; minute += 1) {
      // Box and Muller's normal deviate.
      const off = trueSdC * Math.sqrt(-2 * Math.log(random())) * Math.cos(2 * Math.PI * random());
      const factor = widthAt(widths, MINUTE_MS);
      if (minute > 500) {
        asked += 1;
        if (Math.abs(off) <= 1.2816 * factor) within += 1;
      }
      widths.pending.push({ at: minute * MINUTE_MS, levels: [{ lowC: -1.2816, midC: 0, highC: 1.2816 }] });
      judgeWidths(widths, (minute + 1) * MINUTE_MS, off);
    }
    return { cover: within / asked, factor: widthAt(widths, MINUTE_MS) };
  }

  test.each([0.7, 1, 1.5])('comes to hold four in five where the truth is %f times as uncertain', (sdC) => {
    const { cover, factor } = coverAfter(sdC);
    expect(cover).toBeGreaterThan(0.77);
    expect(cover).toBeLessThan(0.83);
    expect(factor / sdC).toBeGreaterThan(0.7);
    expect(factor / sdC).toBeLessThan(1.4);
  });

  test('stays within bounds, however wrong all was', () => {
    expect(coverAfter(100).factor).toBeLessThanOrEqual(2);
    expect(coverAfter(0.001).factor).toBeGreaterThanOrEqual(0.5);
  });
});
