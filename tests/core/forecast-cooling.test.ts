/** How a closed kiln cools: the model against an independent integration, and its forecasts for kilns of another make. */
import { describe, expect, test } from 'vitest';
import { coolCourse, courseHour, courseTempC } from '../../collector/core/forecast/cool-model.ts';
import {
  type Cooling,
  coolAhead,
  coolLevel,
  coolSpan,
  learnCooling,
  newCooling,
  noteJunction,
} from '../../collector/core/forecast/cooling.ts';
import { HOUR_MS, MINUTE_MS } from '../support/kiln.ts';

const [R, K, G, O, M, N] = [0.03, 0.25, 0.12, 0.04, 0.5, 1];
const PARAMS = [...[R, K, G, O, M, N].map(Math.log), 0.8, 0.4, 1230, 12];

test('the course is that of small steps of Euler, and its own inverse', () => {
  const course = coolCourse(PARAMS, 60);
  const airK = 285.15;
  let t = 1503.15;
  let [w, v] = [airK + 0.8 * (t - airK), airK + 0.4 * (t - airK)];
  const h = 1 / 3600;
  for (let step = 1; step <= 40 * 3600; step += 1) {
    const into = K * (t - w);
    const through = G * (w - v);
    const shone = (R * (t ** 4 - airK ** 4)) / (4 * 1473.15 ** 3);
    t += h * (-shone - into);
    w += (h * (into - through)) / M;
    v += (h * (through - O * (v - airK))) / N;
    if (step % (8 * 3600) === 0)
      expect(Math.abs(courseTempC(course, step / 3600) - (t - 273.15))).toBeLessThan(0.3);
  }
  for (const hour of [0.5, 7, 33]) expect(courseHour(course, courseTempC(course, hour))).toBeCloseTo(hour, 4);
  expect(courseHour(course, 20)).toBeNull();
});

/** Kilns that the model does not know, °C by hours since closing. */
const KILNS: Record<string, (hour: number) => number> = {
  'two exponentials': (h) => 15 + 500 * Math.exp(-h / 7) + 715 * Math.exp(-h / 70),
  'a small kiln': (h) => 20 + 700 * Math.exp(-h / 4) + 510 * Math.exp(-h / 22),
  'cooled in a rush to 1000 °C and then closed': (h) =>
    h < 1 ? 1230 - 230 * h : 10 + 250 * Math.exp(-(h - 1) / 9) + 740 * Math.exp(-(h - 1) / 62),
};

function cooled(
  tempAt: (hour: number) => number,
  hours: number,
): { cooling: Cooling; at: number; levelC: number } {
  const cooling = newCooling();
  noteJunction(cooling, 18);
  const steps = Math.round(hours * 12);
  for (let i = 0; i <= steps; i += 1) learnCooling(cooling, i * 5 * MINUTE_MS, tempAt(i / 12));
  return { cooling, at: steps * 5 * MINUTE_MS, levelC: tempAt(steps / 12) };
}

/** Forecasts of 400 °F some hours before it comes, as a part of those hours. */
const ASKED = Object.entries(KILNS).flatMap(([name, tempAt]) => {
  let truthH = 0;
  while (tempAt(truthH) > 204.4) truthH += 0.05;
  return [24, 12, 3, 1]
    .filter((aheadH) => aheadH < truthH - 4)
    .map((aheadH) => {
      const { cooling, at, levelC } = cooled(tempAt, truthH - aheadH);
      const ahead = coolAhead(cooling, at, levelC, 204.4);
      const span = ahead && coolSpan(ahead, 204.4);
      const part = (ms = Number.NaN) => ms / (truthH * HOUR_MS - at);
      return { name, aheadH, low: part(span?.low), mid: part(span?.mid), high: part(span?.high) };
    });
});

describe('kilns of another make', () => {
  test.each(ASKED)(
    '$name, $aheadH h ahead: the middle is near, the interval of use',
    ({ low, mid, high, aheadH }) => {
      expect(Math.abs(mid - 1)).toBeLessThan(aheadH > 1 ? 0.25 : 0.5);
      expect(low).toBeLessThan(mid);
      expect(high).toBeGreaterThan(mid);
      if (aheadH > 1) expect(high - low).toBeLessThan(1);
    },
  );

  test('an interval that is to hold four in five holds most of them', () => {
    const held = ASKED.filter(({ low, high }) => low <= 1 && high >= 1);
    expect(held.length / ASKED.length).toBeGreaterThanOrEqual(0.7);
  });
});

test('in the first hour it is said honestly that little is known: about five days, common practice, no source', () => {
  const { cooling, at, levelC } = cooled((h) => 1230 - 60 * h, 0.5);
  const ahead = coolAhead(cooling, at, levelC, 204.4);
  const span = ahead && coolSpan(ahead, 204.4);
  const days = (ms = Number.NaN) => ms / (24 * HOUR_MS);
  expect(days(span?.low)).toBeLessThan(3.5);
  expect(days(span?.mid)).toBeGreaterThan(3);
  expect(days(span?.mid)).toBeLessThan(6);
  expect(days(span?.high)).toBeGreaterThan(6);
});

test('what is kept is bounded, and a level ahead lies in its interval', () => {
  const { cooling, at, levelC } = cooled(KILNS['two exponentials'] ?? Math.exp, 90);
  expect(cooling.samples.length).toBeLessThanOrEqual(64);
  expect(cooling.widths.pending.length).toBeLessThan(110);
  const ahead = coolAhead(cooling, at, levelC);
  if (!ahead) throw new Error('nothing ahead');
  let before = levelC + 1;
  for (const hours of [0, 1, 5, 12]) {
    const { lowC, midC, highC } = coolLevel(ahead, hours * HOUR_MS);
    expect(lowC).toBeLessThan(midC);
    expect(highC).toBeGreaterThan(midC);
    expect(midC).toBeLessThan(before);
    before = midC;
  }
  expect(coolSpan(ahead, levelC + 10)).toEqual({ low: 0, mid: 0, high: 0 });
});
