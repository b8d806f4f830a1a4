/**
 * Heat work against the cone maker's published temperature-equivalent chart (the Edward Orton Jr. Ceramic Foundation),
 * self-supporting columns, by running ramps through the very code that a live kiln runs through.
 */
import { describe, expect, test } from 'vitest';
import { SELF_SUPPORTING_C } from '../../collector/core/heat-work/cone-chart.ts';
import { coneTable } from '../../collector/core/heat-work/cone-table.ts';
import { addHeat, coneValue, newHeatWork } from '../../collector/core/heat-work/heat-work.ts';
import { heatColour } from '../../collector/core/heat-work/incandescence.ts';
import { CONE_NAMES, type ConeName, parseCone } from '../../protocol/cones.ts';

const RATES = [15, 60, 150] as const;

/** Temperature at which each cone is reached on a ramp from 20 °C, read every ten seconds. */
function reachedC(rateCPerH: number): Map<ConeName, number> {
  const state = newHeatWork();
  const reached = new Map<ConeName, number>();
  const stepMs = 10_000;
  const stepC = (rateCPerH * stepMs) / 3_600_000;
  for (let tempC = 20; reached.size < CONE_NAMES.length && tempC < 1500; tempC += stepC) {
    addHeat(state, tempC, tempC + stepC, stepMs);
    const value = coneValue(state);
    if (value === null) continue;
    for (const name of CONE_NAMES)
      if (!reached.has(name) && value >= (parseCone(name) ?? Number.POSITIVE_INFINITY))
        reached.set(name, tempC + stepC);
  }
  return reached;
}

const BY_RATE = RATES.map(reachedC);

const CASES = CONE_NAMES.flatMap((name) =>
  RATES.flatMap((rateCPerH, column) => {
    const chartC = SELF_SUPPORTING_C[name][column] ?? null;
    const reached = BY_RATE[column]?.get(name) ?? Number.NaN;
    return chartC === null ? [] : [{ name, rateCPerH, chartC, reached }];
  }),
);
const HAS_THREE = CASES.filter(({ name }) => SELF_SUPPORTING_C[name][0] !== null);

describe('ramps at the rates of the chart', () => {
  test('111 end points are checked, 105 of them of cones with three rates', () => {
    expect(CASES).toHaveLength(111);
    expect(HAS_THREE).toHaveLength(105);
  });

  test.each(HAS_THREE)('cone $name at $rateCPerH °C/h is down within 4 °C of $chartC °C', (end) => {
    expect(Math.abs(end.reached - end.chartC)).toBeLessThanOrEqual(4);
  });

  test('three cones in four are within 2 °C at each of their rates', () => {
    const far = new Set(
      HAS_THREE.filter(({ reached, chartC }) => Math.abs(reached - chartC) > 2).map(({ name }) => name),
    );
    expect(far.size).toBeLessThanOrEqual(35 / 4);
  });

  test('the three cones with two rates are within 5 °C with the Q of cone 019', () => {
    for (const { name, reached, chartC } of CASES.filter(({ name }) => SELF_SUPPORTING_C[name][0] === null))
      expect(Math.abs(reached - chartC), name).toBeLessThanOrEqual(5);
  });
});

describe('the table of the fit', () => {
  test('holds: 4 °C for every cone with three rates, 2 °C for three in four, 6 °C for the middle left out', () => {
    const { lines, holds } = coneTable();
    expect(holds).toBe(true);
    expect(lines.filter((line) => /^\d/.test(line))).toHaveLength(CONE_NAMES.length);
    expect(lines.join('\n')).toContain('Cones with three rates: 35.');
  });

  /** Middle end points moved by so much, in °C. */
  const moved = (names: readonly ConeName[], byC: number) => {
    const rows = names.map((name) => {
      const [slowC, middleC, fastC] = SELF_SUPPORTING_C[name];
      return [name, [slowC, middleC + byC, fastC]];
    });
    return coneTable({ ...SELF_SUPPORTING_C, ...Object.fromEntries(rows) });
  };

  test.each([
    ['one end point 20 °C off', ['6'], 20],
    ['one middle that the outer two miss by 7.7 °C, though the fit is within 4', ['14'], -2],
    ['eleven cones within 4 °C but not within 2', ['019', '08', '07', '09', '01', '2'], 5.5],
  ] as const)('does not hold with %s', (_, names, byC) => {
    const { lines, holds } = moved(names, byC);
    expect(holds).toBe(false);
    expect(lines.join('\n')).toContain('does NOT hold');
  });

  test('its errors are those of the ramps run above', () => {
    const rows = new Map(
      coneTable().lines.map((line) => [line.slice(0, 4).trim(), line.match(/[-+]\d+\.\d/g)]),
    );
    for (const name of CONE_NAMES) {
      const ofThis = CASES.filter((end) => end.name === name);
      const errors = rows.get(name) ?? [];
      for (const [i, { reached, chartC }] of ofThis.entries())
        expect(Math.abs(Number(errors[i]) - (reached - chartC)), name).toBeLessThan(0.06 + 150 / 360);
    }
  });
});

/** 'Colour scale for temperatures' as printed in refractory makers' handbooks (read from firebrick.co.in). */
describe('colour of heat', () => {
  test.each([
    [474, null],
    [475, 'lowest visible red to dark red'],
    [650, 'dark red to cherry red'],
    [800, 'cherry red to bright cherry red'],
    [850, 'bright cherry red to orange'],
    [1000, 'orange to yellow'],
    [1204.4, 'yellow to light yellow'],
    [1400, 'light yellow to white'],
    [1540, 'white to dazzling white'],
    [Number.NaN, null],
  ])('%f °C', (tempC, words) => {
    expect(heatColour(tempC)).toBe(words);
  });
});
