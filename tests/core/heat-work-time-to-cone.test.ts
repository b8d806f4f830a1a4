/** Time to a cone along a way ahead. */
import { describe, expect, test } from 'vitest';
import { addHeat, coneValue, newHeatWork } from '../../collector/core/heat-work/heat-work.ts';
import { timeToCone } from '../../collector/core/heat-work/time-to-cone.ts';

const HOUR_MS = 3_600_000;
const STEP_MS = 600_000;

/** A straight way for 48 h. */
function straight(fromC: number, climbCPerH: number) {
  return { stepMs: STEP_MS, tempC: Array.from({ length: 289 }, (_, i) => fromC + (climbCPerH * i) / 6) };
}

function firedTo(tempC: number) {
  const state = newHeatWork();
  addHeat(state, 20, tempC, ((tempC - 20) / 60) * HOUR_MS);
  return state;
}

describe('time to a cone', () => {
  test.each([
    { cone: 6, fromC: 1100, climb: 60 },
    { cone: 10, fromC: 1180, climb: 25 },
    { cone: 9.5, fromC: 1200, climb: 40 },
    { cone: 8, fromC: 1235, climb: 0 },
    { cone: -5.7, fromC: 900, climb: 120 },
    { cone: 1, fromC: 1000, climb: 60 },
  ])('cone $cone from $fromC °C at $climb °C/h is when a kiln that goes on so gets there', (ahead) => {
    const { cone, fromC, climb } = ahead;
    const start = firedTo(fromC);
    const ms = Number(timeToCone(start, cone, straight(fromC, climb)));
    // Go there with readings ten seconds apart.
    const kiln = firedTo(fromC);
    let atMs = 0;
    while (!(Number(coneValue(kiln) ?? Number.NaN) >= cone)) {
      const [a, b] = [atMs, atMs + 10_000].map((t) => fromC + (climb * t) / HOUR_MS);
      addHeat(kiln, Number(a), Number(b), 10_000);
      atMs += 10_000;
    }
    expect(ms).toBeGreaterThan(0);
    expect(Math.abs(ms - atMs)).toBeLessThanOrEqual(11_000);
  });

  test('is nothing for a cone that is down already', () => {
    expect(timeToCone(firedTo(1200), 3, straight(1200, 60))).toBe(0);
  });

  test.each([
    ['a kiln that falls', 10, 1100, -60],
    ['a hold too low', 10, 900, 0],
    ['a climb too slow', 10, 300, 2],
    ['a cone beyond the chart', 15, 1200, 60],
    ['no number for a climb', 10, 1200, Number.NaN],
    ['no number for a temperature', 10, Number.NaN, 60],
  ])('cannot be said for %s', (_, cone, fromC, climb) => {
    expect(timeToCone(firedTo(800), cone, straight(fromC, climb))).toBeNull();
  });

  test('leaves the probe as it is', () => {
    const state = firedTo(1000);
    const before = [...state.work];
    timeToCone(state, 10, straight(1000, 60));
    expect([...state.work]).toEqual(before);
  });

  test('is sooner with a faster climb', () => {
    const state = firedTo(1150);
    const times = [20, 40, 80, 160].map((climb) => Number(timeToCone(state, 10, straight(1150, climb))));
    expect([...times].sort((a, b) => b - a)).toEqual(times);
    expect(new Set(times).size).toBe(4);
  });
});
