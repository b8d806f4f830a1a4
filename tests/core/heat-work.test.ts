/** Heat work of a probe against an independent quadrature, and what holds whatever the kiln does. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { CONE_RATES } from '../../collector/core/heat-work/cone-rates.ts';
import {
  addHeat,
  coneValue,
  copyHeatWork,
  type HeatWork,
  newHeatWork,
} from '../../collector/core/heat-work/heat-work.ts';
import { CONE_NAMES, type ConeName, parseCone } from '../../protocol/cones.ts';

const HOUR_MS = 3_600_000;

/** Adaptive Simpson quadrature of `f` from a to b, to a relative error of about 1e-10. */
function quadrature(f: (x: number) => number, a: number, b: number): number {
  const simpson = (fa: number, fm: number, fb: number, width: number) => ((fa + 4 * fm + fb) * width) / 6;
  const split = (
    lo: number,
    hi: number,
    flo: number,
    fmid: number,
    fhi: number,
    whole: number,
    depth: number,
  ): number => {
    const mid = (lo + hi) / 2;
    const [fl, fr] = [f((lo + mid) / 2), f((mid + hi) / 2)];
    const left = simpson(flo, fl, fmid, mid - lo);
    const right = simpson(fmid, fr, fhi, hi - mid);
    const change = left + right - whole;
    if (depth === 0 || Math.abs(change) <= 1e-11 * Math.abs(left + right)) return left + right + change / 15;
    return split(lo, mid, flo, fl, fmid, left, depth - 1) + split(mid, hi, fmid, fr, fhi, right, depth - 1);
  };
  const [fa, fm, fb] = [f(a), f((a + b) / 2), f(b)];
  return split(a, b, fa, fm, fb, simpson(fa, fm, fb, b - a), 24);
}

/** W of each cone over temperatures joined by straight lines, by the definition: integral of A·exp(-Q/RT) dt. */
function workByQuadrature(points: { atMs: number; tempC: number }[]): number[] {
  return CONE_RATES.map(({ rate }) => {
    let work = 0;
    for (let i = 1; i < points.length; i++) {
      const [from, to] = [points[i - 1], points[i]];
      if (from === undefined || to === undefined || to.atMs === from.atMs) continue;
      const hours = (to.atMs - from.atMs) / HOUR_MS;
      const tempAt = (h: number) => from.tempC + ((to.tempC - from.tempC) * h) / hours + 273.15;
      work += quadrature((h) => Math.exp(rate.lnAPerH - rate.activationK / tempAt(h)), 0, hours);
    }
    return work;
  });
}

function run(points: { atMs: number; tempC: number }[], state = newHeatWork()): HeatWork {
  for (let i = 1; i < points.length; i++) {
    const [from, to] = [points[i - 1], points[i]];
    if (from !== undefined && to !== undefined) addHeat(state, from.tempC, to.tempC, to.atMs - from.atMs);
  }
  return state;
}

const ramp = (fromC: number, toC: number, climbCPerH: number, everyMs: number) => {
  const lastMs = (Math.abs(toC - fromC) / climbCPerH) * HOUR_MS;
  const steps = Math.ceil(lastMs / everyMs);
  return Array.from({ length: steps + 1 }, (_, i) => ({
    atMs: Math.min(lastMs, i * everyMs),
    tempC: fromC + ((toC - fromC) * Math.min(lastMs, i * everyMs)) / lastMs,
  }));
};

describe('W is the integral of A·exp(-Q/RT), within 1e-6', () => {
  const sawtooth = Array.from({ length: 1200 }, (_, i) => ({
    atMs: i * 20_000,
    tempC: 900 + i / 4 + (i % 40 < 10 ? -1.5 * (i % 40) : -15 + 0.5 * ((i % 40) - 10)),
  }));
  test.each([
    ['a slow ramp, read every 20 s', ramp(900, 1200, 15, 20_000)],
    ['500 °C/h, read every 20 s', ramp(500, 1300, 500, 20_000)],
    ['500 °C/h with gaps of five minutes', ramp(500, 1300, 500, 300_000)],
    ['one gap of three hours over 300 °C', ramp(950, 1250, 100, 3 * HOUR_MS)],
    ['one gap all the way from cold', ramp(20, 1240, 60, 100 * HOUR_MS)],
    ['cooling at 400 °C/h', ramp(1280, 700, 400, 60_000)],
    [
      'a hold for six hours',
      [
        { atMs: 0, tempC: 1180 },
        { atMs: 6 * HOUR_MS, tempC: 1180 },
      ],
    ],
    [
      'a hold for two days at red heat',
      [
        { atMs: 0, tempC: 640 },
        { atMs: 48 * HOUR_MS, tempC: 640 },
      ],
    ],
    ['stokes', sawtooth],
  ])('%s', (_, points) => {
    const state = run(points);
    const expected = workByQuadrature(points);
    let compared = 0;
    for (const [i, { name }] of CONE_RATES.entries()) {
      const wanted = expected[i] ?? Number.NaN;
      // Cones that are long down are not counted on; far-off ones have nothing that matters yet.
      if (i < state.reached - 1 || wanted < 0.01) continue;
      expect(Math.abs((state.work[i] ?? 0) / wanted - 1), name).toBeLessThan(1e-6);
      compared++;
    }
    expect(compared).toBeGreaterThan(1);
  });

  test('what is left out of slow cones is less than a ten-millionth after a hundred hours', () => {
    for (let tempC = 200; tempC <= 1200; tempC += 25) {
      const points = [
        { atMs: 0, tempC },
        { atMs: 100 * HOUR_MS, tempC },
      ];
      const state = run(points);
      const expected = workByQuadrature(points);
      for (const [i, work] of state.work.entries())
        if (i >= state.reached - 1) {
          const wanted = expected[i] ?? Number.NaN;
          expect(Math.abs(work - wanted)).toBeLessThan(1.1e-7 + 1e-6 * wanted);
        }
    }
  });

  test('readings each second and one straight line over the same ramp agree', () => {
    const fine = run(ramp(1100, 1150, 100, 1000));
    const coarse = run(ramp(1100, 1150, 100, HOUR_MS));
    expect(fine.reached).toBe(coarse.reached);
    expect(coneValue(fine)).toBeCloseTo(Number(coneValue(coarse)), 6);
  });
});

describe('the cone reached', () => {
  test('a new probe has none', () => {
    expect(coneValue(newHeatWork())).toBeNull();
  });

  test('is the highest with W >= 1 below which all have it, and ln Wa / (ln Wa - ln Wb) to the next', () => {
    const points = ramp(20, 1230, 60, 60_000);
    const value = Number(coneValue(run(points)));
    const work = workByQuadrature(points);
    const next = work.findIndex((w) => w < 1);
    const [a, b] = [Math.log(work[next - 1] ?? 0), Math.log(work[next] ?? 0)];
    const [scaleA, scaleB] = [CONE_NAMES[next - 1], CONE_NAMES[next]].map((name) => parseCone(name ?? ''));
    // The chart has cone 6 at 1222 °C and cone 7 at 1239 °C.
    expect(CONE_NAMES[next]).toBe('7');
    expect(value).toBeCloseTo(Number(scaleA) + (a / (a - b)) * (Number(scaleB) - Number(scaleA)), 5);
  });

  test('a cone out of turn waits for those below it', () => {
    const state = newHeatWork();
    state.work.fill(1.5, 0, 10);
    state.work[10] = 0.5;
    state.work.fill(1.5, 11, 20);
    state.reached = 10;
    const [ofTenth, ofNext] = [CONE_NAMES[9], CONE_NAMES[10]].map((name) => Number(parseCone(name ?? '')));
    const value = Number(coneValue(state));
    expect(value).toBeGreaterThan(Number(ofTenth));
    expect(value).toBeLessThan(Number(ofNext));
  });

  const between = (lower: ConeName, upper: ConeName): number[] => {
    const state = newHeatWork();
    const values: number[] = [];
    for (let tempC = 20; tempC < 1400; tempC += 0.5) {
      addHeat(state, tempC, tempC + 0.5, 30_000);
      const value = coneValue(state);
      const [low, high] = [lower, upper].map((name) => CONE_NAMES.indexOf(name) + 1);
      if (value !== null && state.reached >= Number(low) && state.reached < Number(high)) values.push(value);
    }
    return values;
  };

  test.each([
    ['06', '05.5', -6, -5.5],
    ['05.5', '05', -5.5, -5],
    ['5', '5.5', 5, 5.5],
    ['5.5', '6', 5.5, 6],
    ['022', '021', -22, -21],
    ['9', '10', 9, 10],
    ['01', '1', -1, 0],
  ] as const)('from %s to %s it runs from %f to %f', (lower, upper, low, high) => {
    const values = between(lower, upper);
    expect(values.length).toBeGreaterThan(5);
    expect(Math.min(...values)).toBeGreaterThanOrEqual(low);
    expect(Math.max(...values)).toBeLessThanOrEqual(high);
    expect(Math.max(...values) - Math.min(...values)).toBeGreaterThan((high - low) * 0.7);
  });

  test('after 01 comes 1, and 14 is the end', () => {
    const values = between('1', '2');
    expect(Math.min(...values)).toBeGreaterThanOrEqual(1);
    expect(coneValue(run(ramp(20, 1500, 100, 60_000)))).toBe(14);
  });

  test('never goes down, whatever the kiln does', () => {
    const step = fc.record({
      tempC: fc.double({ min: -20, max: 1450, noNaN: true }),
      dtMs: fc.integer({ min: 1000, max: 1_800_000 }),
    });
    fc.assert(
      fc.property(fc.array(step, { minLength: 2, maxLength: 60 }), (steps) => {
        const state = newHeatWork();
        let [lastC, best] = [20, Number.NEGATIVE_INFINITY];
        for (const { tempC, dtMs } of steps) {
          addHeat(state, lastC, tempC, dtMs);
          lastC = tempC;
          const value = coneValue(state) ?? Number.NEGATIVE_INFINITY;
          expect(value).toBeGreaterThanOrEqual(best);
          best = value;
        }
      }),
      { numRuns: 200 },
    );
  });

  test('never goes down at one reading a second either', () => {
    const state = newHeatWork();
    let best = Number.NEGATIVE_INFINITY;
    let lastC = 1100;
    for (let s = 1; s <= 40_000; s++) {
      const tempC = 1100 + s / 200 - 12 * Math.abs(Math.sin(s / 180));
      addHeat(state, lastC, tempC, 1000);
      lastC = tempC;
      const value = coneValue(state) ?? Number.NEGATIVE_INFINITY;
      expect(value >= best).toBe(true);
      best = value;
    }
    expect(best).toBeGreaterThan(8);
  });

  test('the same top temperature counts for more when it is reached slowly or held', () => {
    const fast = Number(coneValue(run(ramp(20, 1220, 150, 60_000))));
    const slow = Number(coneValue(run(ramp(20, 1220, 60, 60_000))));
    const held = run(ramp(20, 1220, 150, 60_000));
    addHeat(held, 1220, 1220, HOUR_MS);
    expect(slow).toBeGreaterThan(fast + 0.5);
    expect(Number(coneValue(held))).toBeGreaterThan(fast + 0.5);
  });
});

describe('the state', () => {
  test('a copy is left alone by later heat', () => {
    const state = run(ramp(20, 1200, 100, 60_000));
    const copy = copyHeatWork(state);
    const before = coneValue(copy);
    addHeat(state, 1200, 1260, HOUR_MS);
    expect(coneValue(copy)).toBe(before);
    expect(Number(coneValue(state))).toBeGreaterThan(Number(before));
    addHeat(copy, 1200, 1260, HOUR_MS);
    expect(coneValue(copy)).toBe(coneValue(state));
  });

  test.each([
    ['no time', 1200, 1200, 0],
    ['time that goes back', 1200, 1200, -1000],
    ['time that is no number', 1200, 1200, Number.NaN],
    ['time without end', 1200, 1200, Number.POSITIVE_INFINITY],
    ['a temperature that is no number', Number.NaN, 1200, 1000],
    ['a temperature without end', 1200, Number.POSITIVE_INFINITY, 1000],
    ['a cold kiln', 20, 150, 100 * HOUR_MS],
  ])('%s adds nothing', (_, fromC, toC, dtMs) => {
    const state = run(ramp(20, 1200, 100, 60_000));
    const before = [...state.work];
    addHeat(state, fromC, toC, dtMs);
    expect([...state.work]).toEqual(before);
  });
});
