/** The kiln makes no heat out of nothing, and loses none unaccounted for. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { heatChamber, openChamber, storedKJ, ZONES } from '../../collector/demo-kiln/chamber.ts';
import { fuelLeftKJ } from '../../collector/demo-kiln/fire.ts';
import { kilnStep, openKiln } from '../../collector/demo-kiln/kiln.ts';

const SALT_KJ_PER_KG = 4400;
const START_MS = Date.UTC(2031, 2, 8, 5);

describe('the heat of a whole firing', () => {
  it('is all in wood, smoke, flue, walls, salt and store', () => {
    const kiln = openKiln({ seed: 3, startMs: START_MS });
    const coldKJ = storedKJ(kiln.chamber);
    while (kiln.nowS < 25 * 3600) kilnStep(kiln, 1);
    const { chamber, fire, potter } = kiln;
    const saltKJ = (potter.saltedG / 1000) * SALT_KJ_PER_KG - kiln.saltTakesKJ;
    expect(potter.stage).toBe('cooling');

    const burntKJ = kiln.woodKJ - fuelLeftKJ(fire);
    expect((chamber.firedKJ + saltKJ + kiln.smokeKJ) / burntKJ).toBeCloseTo(1, 9);
    const keptKJ = storedKJ(chamber) - coldKJ;
    expect((keptKJ + chamber.flueKJ + chamber.wallKJ) / chamber.firedKJ).toBeCloseTo(1, 9);
    // Each of them counts: none of the shares is a trifle or a fault of sign.
    for (const share of [keptKJ, chamber.flueKJ, chamber.wallKJ, saltKJ, kiln.smokeKJ])
      expect(share / burntKJ).toBeGreaterThan(0.002);
  });
});

describe('without fuel', () => {
  const tempC = fc.double({ min: -10, max: 1350, noNaN: true });
  const given = fc.record({
    zonesC: fc.tuple(tempC, tempC, tempC, tempC),
    brickC: tempC,
    hearthC: tempC,
    ambientC: fc.double({ min: -20, max: 40, noNaN: true }),
    gasKgPerS: fc.double({ min: 0, max: 0.6, noNaN: true }),
    dtS: fc.integer({ min: 1, max: 20 }),
  });

  it('no place gets hotter than the hottest was, nor colder than the coldest', () => {
    fc.assert(
      fc.property(given, ({ zonesC, brickC, hearthC, ambientC, gasKgPerS, dtS }) => {
        const chamber = openChamber(brickC);
        chamber.hearthC = hearthC;
        ZONES.forEach((zone, i) => {
          chamber.zones[zone].wareC = zonesC[i] ?? brickC;
        });
        const hottestC = Math.max(...zonesC, brickC, hearthC, ambientC);
        const coldestC = Math.min(...zonesC, brickC, hearthC, ambientC);
        for (let step = 0; step < 60; step++) {
          heatChamber(chamber, { emberKW: 0, flameKW: 0, gasKgPerS, highShare: 0.55, ambientC }, dtS);
          const { fireboxC, hearthC: stoneC } = chamber;
          const nowC = ZONES.flatMap((zone) => {
            const { wareC, gasC, brickC: layersC } = chamber.zones[zone];
            return [wareC, gasC, ...layersC];
          }).concat(fireboxC, stoneC);
          expect(Math.max(...nowC)).toBeLessThanOrEqual(hottestC + 1e-6);
          expect(Math.min(...nowC)).toBeGreaterThanOrEqual(coldestC - 1e-6);
        }
      }),
      { numRuns: 60 },
    );
  });
});
