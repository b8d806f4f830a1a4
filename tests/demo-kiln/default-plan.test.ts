/**
 * The plan as it ships, fired on the invented kiln, gives figures of the size that are common practice: each of them has
 * no source, and stands with how far off it may be.
 */
import { describe, expect, it } from 'vitest';
import { INVENTED, inventedPlan } from '../../collector/commands/invented.ts';
import { kgPerFaceCord } from '../../collector/core/fuel-table.ts';
import { kilnStep, openKiln } from '../../collector/demo-kiln/kiln.ts';
import { defaultPlan } from '../../protocol/plan.ts';
import { poundsFromKg } from '../../protocol/units.ts';

const plan = defaultPlan();

describe('the plan as it ships, on the invented kiln', () => {
  // Five days to about 400 °F are held in trade.test.ts.
  it('is salted with about 300 charges of a quarter cup, one every 12 s or so, through two holes in an hour, and burns four to five face cords', () => {
    const kiln = openKiln({
      seed: 3,
      startMs: Date.UTC(2031, 2, 8, 5),
      plan: { saltG: plan.saltKg * 1000, chargeG: plan.chargeG, chargeEveryS: 12 },
    });
    const charges: { atS: number; hole: string; g: number }[] = [];
    let woodKg = 0;
    let over = false;
    for (let second = 0; !over && second < 40 * 3600; second += 1) {
      for (const deed of kilnStep(kiln, 1)) {
        if (deed.log === 'salt') charges.push({ atS: kiln.nowS, hole: deed.hole, g: deed.g ?? 0 });
        if (deed.log === 'stoke') woodKg += deed.wood.kg;
        over ||= deed.log === 'clam-up';
      }
    }
    // Common practice, no source: 50 lb, within 1 %; about 300 charges, within 5 %.
    expect(poundsFromKg(charges.reduce((sum, { g }) => sum + g, 0) / 1000)).toBeCloseTo(50, 0);
    expect(charges.length).toBeGreaterThan(295);
    expect(charges.length).toBeLessThan(315);
    const left = charges.filter(({ hole }) => hole === 'left').length;
    expect(Math.abs(left - charges.length / 2)).toBeLessThan(charges.length / 10);
    // Common practice, no source: 12 s or so from one to the next, within 3 s; so an hour of salting, within a quarter. The
    // invented potter waits besides where the heat has to come back: an hour and a half in all at the most.
    const steps = charges.slice(1).map(({ atS }, i) => atS - (charges[i]?.atS ?? 0));
    const usualS = steps.toSorted((a, b) => a - b)[Math.floor(steps.length / 2)] ?? 0;
    expect(usualS).toBeGreaterThanOrEqual(9);
    expect(usualS).toBeLessThanOrEqual(15);
    expect((usualS * charges.length) / 60).toBeGreaterThan(45);
    expect((usualS * charges.length) / 60).toBeLessThan(75);
    const minutes = ((charges.at(-1)?.atS ?? 0) - (charges[0]?.atS ?? 0)) / 60;
    expect(minutes).toBeGreaterThan(50);
    expect(minutes).toBeLessThan(90);
    // Common practice, no source: four to five face cords, within a fifth. In red oak, which the plan takes unless told,
    // the invented kiln needs about a sixth less than four.
    const faceCords = woodKg / kgPerFaceCord(plan.wood);
    expect(faceCords).toBeGreaterThan(4 * 0.8);
    expect(faceCords).toBeLessThan(5 * 1.2);
  }, 120_000);

  // Common practice, no source: 300 to 350 pots a load. The plan ships without a load; the demo's past firings have one.
  it.each(INVENTED)('$name is loaded with 300 to 350 pots, and all of them are counted', (invented) => {
    const pieces = inventedPlan(invented).load.reduce((sum, ware) => sum + ware.pieces, 0);
    expect(pieces).toBeGreaterThanOrEqual(300);
    expect(pieces).toBeLessThanOrEqual(350);
    const counted = Object.values(invented.came).flat();
    expect(counted.reduce((sum, each) => sum + each, 0)).toBe(pieces);
    expect(invented.name).toMatch(/^Invented: /);
  });
});
