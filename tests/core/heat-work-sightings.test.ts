/** Cones that the potter saw, against the heat work that was computed for their place. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  addHeat,
  coneValue,
  copyHeatWork,
  type HeatWork,
  newHeatWork,
} from '../../collector/core/heat-work/heat-work.ts';
import { conesBetween, shiftBy, sighting } from '../../collector/core/heat-work/sightings.ts';
import { newFiring } from '../../collector/core/state.ts';
import { parseCone } from '../../protocol/cones.ts';
import {
  feed,
  HOUR_MS,
  helloOf,
  inputOf,
  MINUTE_MS,
  planOf,
  probeOf,
  readingsIn,
  START_MS,
} from '../support/kiln.ts';

function firedTo(tempC: number, climbCPerH = 60) {
  const heat = newHeatWork();
  addHeat(heat, 20, tempC, ((tempC - 20) / climbCPerH) * HOUR_MS);
  return heat;
}

const seen = (what: 'bending' | 'down', cone: string, at: number, tempC: number) => {
  const made = sighting({ id: null, at, what, cone }, firedTo(tempC));
  return made ? [made] : [];
};

describe('what cones seen add to the heat work of their place', () => {
  test('a cone down before it was computed makes the place read that cone', () => {
    const heat = firedTo(1210);
    expect(Number(coneValue(heat))).toBeLessThan(6);
    expect(coneValue(heat, shiftBy(seen('down', '6', 0, 1210), null))).toBeCloseTo(6, 9);
  });

  test('a cone that lies and was down long ago by the computed heat work says nothing', () => {
    expect(shiftBy(seen('down', '6', 0, 1245), null)).toBe(0);
  });

  test('a cone that bends after it was down by the computed heat work takes from it', () => {
    const heat = firedTo(1245);
    const shift = shiftBy(seen('bending', '6', 0, 1245), null);
    expect(shift).toBeLessThan(0);
    const value = Number(coneValue(heat, shift));
    expect(value).toBeLessThan(6);
    expect(value).toBeGreaterThan(5);
  });

  test('a bending cone that bends when it is computed to shifts nothing worth telling', () => {
    // By the equations cone 6 has W = 0.7 nine to ten degrees below its end point of 1222 °C at 60 °C/h.
    const heat = firedTo(1212.5);
    const value = Number(coneValue(heat));
    const shift = shiftBy(seen('bending', '6', 0, 1212.5), null);
    expect(Math.abs(conesBetween(value, Number(coneValue(heat, shift))))).toBeLessThan(0.1);
  });

  test('the last sighting counts, by when it happened', () => {
    const early = seen('down', '5', 1, 1150);
    const late = seen('bending', '6', 2, 1230);
    expect(shiftBy([...late, ...early], null)).toBe(shiftBy(late, null));
    expect(shiftBy([...late, ...early], null)).not.toBe(shiftBy(early, null));
  });

  test('from the first salt on cones say nothing', () => {
    const early = seen('down', '5', 1, 1160);
    const salted = seen('down', '9', 3, 1235);
    expect(shiftBy([...early, ...salted], 2)).toBe(shiftBy(early, null));
    expect(shiftBy(salted, 3)).toBe(0);
  });

  test.each([
    ['a cone far from the computed one', '10', 1150],
    ['a soft cone long gone', '010', 1200],
    ['no cone of the chart', '6.5', 1210],
    ['no cone at all', 'six', 1210],
    ['a place without heat work', '022', 300],
  ])('%s is not believed', (_, cone, tempC) => {
    expect(seen('down', cone, 0, tempC)).toEqual([]);
  });

  test('from 01 to 1 is one cone', () => {
    expect(conesBetween(-1, 1)).toBe(1);
    expect(conesBetween(-2, 2)).toBe(3);
    expect(conesBetween(-5.5, -5)).toBe(0.5);
  });
});

describe('the cone between two cones of the chart', () => {
  /** The greatest step of the cone's value over half a degree, in fifty parts. */
  function greatestStep(heat: HeatWork, shift: number, fromC: number, rate: number): number {
    let before = coneValue(heat, shift) ?? Number.NaN;
    let greatest = 0;
    for (let i = 0; i < 50; i += 1) {
      addHeat(heat, fromC + i / 100, fromC + (i + 1) / 100, (0.01 / rate) * HOUR_MS);
      const value = coneValue(heat, shift) ?? Number.NaN;
      greatest = Math.max(greatest, conesBetween(before, value));
      before = value;
    }
    return greatest;
  }

  const ramps = fc.record({
    rates: fc.array(fc.integer({ min: 15, max: 300 }), { minLength: 1, maxLength: 4 }),
    // 20 °C at 1230 °C, either way.
    shift: fc.double({ min: -9e-6, max: 9e-6, noNaN: true }),
  });

  test('goes up without a jump at any climb of 15 to 300 °C/h, with any shift', () => {
    fc.assert(
      fc.property(ramps, ({ rates, shift }) => {
        const heat = newHeatWork();
        addHeat(heat, 20, 560, 540 * 60_000);
        let before: number | null = null;
        let tempC = 560;
        while (tempC < 1420) {
          const rate = rates[Math.floor((tempC - 560) / 220) % rates.length] ?? 60;
          const was = copyHeatWork(heat);
          addHeat(heat, tempC, tempC + 0.5, (0.5 / rate) * HOUR_MS);
          const value = coneValue(heat, shift);
          if (before !== null && value !== null) {
            const step = conesBetween(before, value);
            expect(step).toBeGreaterThanOrEqual(0);
            // Where cones stand a degree apart it is steep: a closer look tells that from a jump.
            if (step > 0.1) expect(greatestStep(was, shift, tempC, rate)).toBeLessThan(step / 2);
          }
          tempC += 0.5;
          before = value;
        }
        expect(before).toBe(14);
      }),
      { numRuns: 8 },
    );
  });
});

describe('in a firing', () => {
  const at = (minute: number) => START_MS + minute * MINUTE_MS;
  /** Three hours at 300 °C/h and then one of 100 °C/h, with one probe a minute. */
  const tempAt = (minute: number) => (minute < 180 ? 300 + 5 * minute : 1200 + (minute - 180) / 1.5);
  const readings = (from: number, to: number) =>
    Array.from({ length: to - from }, (_, i) =>
      inputOf.reading(at(from + i), { low: Math.round(tempAt(from + i) * 10) / 10, high: 500 }),
    );
  const begun = (plan: Record<string, unknown> = {}) =>
    feed(
      [
        inputOf.hello(START_MS - 1000, helloOf([probeOf('low'), probeOf('high')], 60_000)),
        ...readings(0, 190),
      ],
      newFiring(planOf(plan)),
    ).state;
  const low = (outputs: ReturnType<typeof feed>['outputs']) => readingsIn(outputs).at(-1)?.rows[0];

  test('the place reads the cone that lies, and says by how much it was moved', () => {
    const bare = low(feed(readings(190, 192), begun()).outputs);
    expect(bare?.coneShift).toBeNull();
    const cone = String(Math.ceil(Number(bare?.cone)) + 1);
    const down = inputOf.log(at(189) + 500, { log: 'cone-down', cone, probe: 'low', id: 'seen' });
    const { state, outputs } = feed([down, ...readings(190, 192)], begun());
    expect(Math.floor(Number(low(outputs)?.cone))).toBe(Number(cone));
    expect(low(outputs)?.coneShift).toBeGreaterThan(0.9);
    // The printed cone never goes down, also when the entry is undone; the shift is gone.
    const after = feed(
      [inputOf.log(at(191) + 500, { log: 'undo', id: 'seen' }), ...readings(192, 193)],
      state,
    );
    expect(Number(low(after.outputs)?.cone)).toBeGreaterThanOrEqual(Number(cone));
    expect(low(after.outputs)?.coneShift).toBeNull();
  });

  test('a cone that bends late takes from what follows, and the printed cone waits', () => {
    const before = Number(low(feed(readings(190, 191), begun()).outputs)?.cone);
    const bending = inputOf.log(at(189) + 500, {
      log: 'cone-bending',
      cone: String(Math.floor(before)),
      probe: 'low',
    });
    const { state, outputs } = feed([bending, ...readings(190, 191)], begun());
    expect(low(outputs)?.coneShift).toBeLessThan(-0.1);
    expect(Number(low(outputs)?.cone)).toBeCloseTo(before, 0);
    const goesOn = readings(191, 260);
    const [shifted, bare] = [feed(goesOn, state), feed(readings(190, 260), begun())];
    expect(parseCone(low(shifted.outputs)?.cone ?? '')).toBeLessThan(
      parseCone(low(bare.outputs)?.cone ?? '') ?? 0,
    );
  });

  test.each([
    ['after salt has gone in', [{ log: 'salt', hole: 'left' }], { probe: 'low' }, {}, false],
    ['with no place named and no guide', [], {}, {}, false],
    ['with no place named, but a guide', [], {}, { guide: 'low' }, true],
    ['at a place that there is not', [], { probe: 'loft' }, { guide: 'low' }, false],
  ])('a cone down %s', (_, entries, named, plan, shifts) => {
    const state = begun(plan);
    const cone = String(Math.ceil(Number(low(feed(readings(190, 191), begun(plan)).outputs)?.cone)) + 1);
    const logs = [...entries, { log: 'cone-down', cone, ...named }].map((entry, i) =>
      inputOf.log(at(189) + 500 + i, entry),
    );
    const row = low(feed([...logs, ...readings(190, 191)], state).outputs);
    expect(row?.coneShift !== null).toBe(shifts);
  });

  test('a cone that is told of late counts for when it was seen', () => {
    const told = { log: 'cone-down', cone: '6', probe: 'low' };
    const [then, late] = [
      feed([...readings(190, 200), inputOf.log(at(199) + 500, told), ...readings(200, 216)], begun()),
      feed(
        [
          ...readings(190, 215),
          inputOf.log(at(214) + 500, { ...told, at: new Date(at(199) + 500).toISOString() }),
          ...readings(215, 216),
        ],
        begun(),
      ),
    ];
    expect(low(late.outputs)?.coneShift).not.toBeNull();
    expect(low(late.outputs)?.coneShift).toBeCloseTo(Number(low(then.outputs)?.coneShift), 9);
  });
});
