/**
 * The invented kiln against facts of the trade: figures that potters published, each named beside its check. CP: common
 * practice, no source.
 */
import { beforeAll, describe, expect, it } from 'vitest';
import { ZONES } from '../../collector/demo-kiln/chamber.ts';
import { kilnStep, openKiln } from '../../collector/demo-kiln/kiln.ts';
import { median, seenStokes } from './stokes.ts';
import { type TrueFiring, type TrueMinute, trueFiring, trueStalls } from './true-firing.ts';

const START_MS = Date.UTC(2031, 2, 8, 5);
const SEEDS = [1, 5];
const HOUR_S = 3600;

const firings = new Map<number, TrueFiring>();
beforeAll(() => {
  for (const seed of SEEDS) firings.set(seed, trueFiring({ seed, startMs: START_MS }, 26));
}, 120_000);

function firingOf(seed: number): TrueFiring {
  const firing = firings.get(seed);
  if (!firing) throw new Error(`no firing of seed ${seed}`);
  return firing;
}

function deedAt(firing: TrueFiring, log: string): number {
  return firing.deeds.find(({ deed }) => deed.log === log)?.atS ?? Number.NaN;
}

/** Mean of the four tips, each second: what a potter would call the read-out. */
function readOut(firing: TrueFiring): number[] {
  return firing.placeC.map((_, i) => ZONES.reduce((sum, zone) => sum + (firing.tipC[zone][i] ?? 0), 0) / 4);
}

function during(firing: TrueFiring, stage: TrueMinute['stage'], fromC = -99, toC = 9999): TrueMinute[] {
  return firing.minutes.filter((each) => each.stage === stage && each.meanC >= fromC && each.meanC < toC);
}

const spread = ({ placeC }: TrueMinute) =>
  Math.max(...Object.values(placeC)) - Math.min(...Object.values(placeC));

describe.each(SEEDS)('a good firing, seed %i', (seed) => {
  // lesliehinton.com: 150 to 250 °F for 6 h and more with thick ware; Ceramic Arts Network: near 80 °C for hours. The
  // limit of 28 °C/h (50 °F/h) up to 120 °C: evafunderburgh.com starts with 50 °F/h.
  it('is candled for about 6 h, not faster than 28 °C/h to 120 °C', () => {
    const firing = firingOf(seed);
    const litS = deedAt(firing, 'light-up');
    const climbingS = 60 * (during(firing, 'climbing')[0]?.minute ?? Number.NaN);
    expect((climbingS - litS) / HOUR_S).toBeGreaterThan(5);
    expect((climbingS - litS) / HOUR_S).toBeLessThan(7.5);
    const below120 = firing.minutes.findIndex(({ meanC }) => meanC >= 120);
    // From 40 min after light-up, so that the kernel does not reach back to the cold kiln.
    const climbs = firing.minutes.slice(litS / 60 + 40, below120).map(({ climbCPerH }) => climbCPerH);
    expect(climbs.length).toBeGreaterThan(200);
    expect(Math.max(...climbs)).toBeLessThan(28);
    expect(median(climbs)).toBeGreaterThan(14);
  });

  // whistlecreek.blogspot: 100 to 150 °F/h, which is 55 to 83 °C/h; late, every 20 °F is won slowly.
  it('climbs 55 to 83 °C/h through the middle and 20 to 45 °C/h over the last hundred degrees', () => {
    const firing = firingOf(seed);
    const middle = during(firing, 'climbing', 350, 1050).map(({ climbCPerH }) => climbCPerH);
    expect(median(middle)).toBeGreaterThan(55);
    expect(median(middle)).toBeLessThan(84);
    const last = during(firing, 'climbing', 1140, 1200).map(({ climbCPerH }) => climbCPerH);
    expect(median(last)).toBeGreaterThan(20);
    expect(median(last)).toBeLessThan(45);
    expect(trueStalls(firing).filter(({ from, to }) => to - from > 5)).toEqual([]);
  });

  it('reaches salting heat 16 to 22.5 h after light-up', () => {
    const firing = firingOf(seed);
    const hours = (deedAt(firing, 'salt') - deedAt(firing, 'light-up')) / HOUR_S;
    expect(hours).toBeGreaterThan(16);
    expect(hours).toBeLessThan(22.5);
  });

  // Potters' published diaries, karatsupots.com: after a stoke the reading dips 10 to 25 °C, then rises for up to
  // 10 min, then turns down. skyewoodfire.blogspot: 1208, 1190, 1213 °C within an hour.
  it('dips 10 to 25 °C after a late stoke, rises for some minutes up to 10, and turns', () => {
    const firing = firingOf(seed);
    const fromS = 60 * (during(firing, 'climbing', 950)[0]?.minute ?? Number.NaN);
    const stokes = seenStokes(firing, readOut(firing), fromS, deedAt(firing, 'clam-up'));
    expect(stokes.length).toBeGreaterThan(30);
    const within = stokes.filter(({ dipC }) => dipC >= 10 && dipC <= 25);
    expect(within.length / stokes.length).toBeGreaterThan(0.85);
    expect(Math.max(...stokes.map(({ riseMin }) => riseMin))).toBeLessThan(10);
    expect(median(stokes.map(({ riseMin }) => riseMin))).toBeGreaterThan(2);
    expect(median(stokes.map(({ turnC }) => turnC))).toBeGreaterThan(1);
  });

  // robskiln.com: 15 to 30 min in the first 8 h; haaripottery.blogspot: 20 falling to 10 min; potters.org 116953:
  // about 5 min late.
  it('is stoked every 15 to 30 min at first, and every 4 to 12 min late', () => {
    const firing = firingOf(seed);
    const litS = deedAt(firing, 'light-up');
    const early = seenStokes(firing, readOut(firing), litS, litS + 8 * HOUR_S);
    expect(median(early.map(({ everyMin }) => everyMin))).toBeGreaterThan(15);
    expect(Math.max(...early.map(({ everyMin }) => everyMin))).toBeLessThan(30);
    const fromS = 60 * (during(firing, 'climbing', 950)[0]?.minute ?? Number.NaN);
    const late = seenStokes(firing, readOut(firing), fromS, deedAt(firing, 'clam-up'));
    const inRhythm = late.filter(({ everyMin }) => everyMin >= 4 && everyMin <= 12);
    expect(inRhythm.length / late.length).toBeGreaterThan(0.95);
  });

  // evafunderburgh.com: front and back differ by 150 °F (83 °C) at the top and by 400 °F (222 °C) on the way.
  it('differs from place to place by less than 222 °C on the way and 83 °C at the top, but it does differ', () => {
    const firing = firingOf(seed);
    const way = Math.max(...during(firing, 'climbing', -99, 1100).map(spread));
    expect(way).toBeLessThan(222);
    expect(way).toBeGreaterThan(60);
    const top = Math.max(
      ...during(firing, 'climbing', 1100).map(spread),
      ...during(firing, 'salting').map(spread),
    );
    expect(top).toBeLessThan(83);
    expect(top).toBeGreaterThan(10);
  });

  // CP: from about 2200 °F, about 50 lb in about an hour through two stoke holes; a draw ring each quarter of it is
  // this project's own. kimlpottery.com: from cone 6; clayart 2018: as cone 9 begins to bend.
  it('is salted with 22.7 kg in about an hour from 1204 °C, between cones 6 and 9', () => {
    const firing = firingOf(seed);
    const charges = firing.deeds.flatMap(({ atS, deed }) => (deed.log === 'salt' ? [{ atS, ...deed }] : []));
    expect(charges.reduce((sum, { g }) => sum + (g ?? 0), 0)).toBe(22_700);
    expect(new Set(charges.map(({ hole }) => hole)).size).toBe(2);
    const firstS = deedAt(firing, 'salt');
    const minutes = (deedAt(firing, 'end-salt') - firstS) / 60;
    expect(minutes).toBeGreaterThan(50);
    expect(minutes).toBeLessThan(90);
    expect(firing.minutes[Math.floor(firstS / 60)]?.meanC).toBeGreaterThan(1190);
    expect(firing.deeds.filter(({ deed }) => deed.log === 'draw')).toHaveLength(4);
    const coneS = (cone: string) =>
      firing.deeds.find(({ deed }) => deed.log === 'cone-down' && deed.cone === cone)?.atS ?? Number.NaN;
    expect(Math.abs(coneS('6') - firstS)).toBeLessThan(HOUR_S);
    expect(coneS('9')).toBeGreaterThan(firstS);
    expect(coneS('9')).toBeLessThan(deedAt(firing, 'clam-up') + HOUR_S);
  });

  // CP: four to five face cords of hardwood; lifirewood.com: a 16 in face cord is a third of a cord. University of
  // Kentucky Forestry: 20.5 (cherry) to 29.3 (hickory) million Btu a cord; Iowa State Extension: 7,000 Btu/lb at 20 %.
  it('burns four to five face cords of hardwood', () => {
    const firing = firingOf(seed);
    const woodKg = firing.deeds.reduce((sum, { deed }) => sum + (deed.log === 'stoke' ? deed.wood.kg : 0), 0);
    const kgPerCord = (millionBtu: number) => ((millionBtu * 1e6) / 7000) * 0.45359237;
    expect(woodKg).toBeGreaterThan((4 / 3) * kgPerCord(20.5));
    expect(woodKg).toBeLessThan((5 / 3) * kgPerCord(29.3));
  });
});

describe('the same seed', () => {
  it('gives the same firing to the last digit, and another seed another', () => {
    const again = trueFiring({ seed: 5, startMs: START_MS }, 26);
    expect(again.deeds).toEqual(firingOf(5).deeds);
    expect(again.placeC).toEqual(firingOf(5).placeC);
    expect(firingOf(1).deeds).not.toEqual(firingOf(5).deeds);
  }, 60_000);
});

describe('cooling', () => {
  // CP: about five days to about 400 °F (204.4 °C). ceramica wiki: at most 50 °C/h through quartz inversion, 573 °C.
  it('takes about five days to 400 °F, and goes gently through quartz inversion', () => {
    const kiln = openKiln({ seed: 2, startMs: START_MS });
    let closedS = Number.NaN;
    let openedS = Number.NaN;
    const mean: { atS: number; tempC: number }[] = [];
    while (Number.isNaN(openedS) && kiln.nowS < 12 * 24 * HOUR_S) {
      const closed = kiln.potter.stage === 'cooling';
      for (const { log } of kilnStep(kiln, closed ? 10 : 1)) if (log === 'clam-up') closedS = kiln.nowS;
      if (!closed) continue;
      if (Math.max(...Object.values(kiln.tipC)) < 204.4) openedS = kiln.nowS;
      mean.push({ atS: kiln.nowS, tempC: kiln.placeC['back-low'] });
    }
    expect((openedS - closedS) / 24 / HOUR_S).toBeGreaterThan(4);
    expect((openedS - closedS) / 24 / HOUR_S).toBeLessThan(6);
    const inversion = mean.filter(({ tempC }) => tempC < 620 && tempC > 520);
    const [first, last] = [inversion[0], inversion.at(-1)];
    if (!first || !last) throw new Error('it never cooled through quartz inversion');
    const coolsCPerH = ((first.tempC - last.tempC) / (last.atS - first.atS)) * HOUR_S;
    expect(coolsCPerH).toBeGreaterThan(2);
    expect(coolsCPerH).toBeLessThan(50);
  }, 60_000);
});

describe('a large charge of salt', () => {
  // CP: a charge costs 20 to 50 °F (11 to 28 °C) where it is large. chestofbooks.com (stoneware pipes): the peak must
  // be regained before the next.
  it('costs 11 to 28 °C where it goes in, and is regained before the next', () => {
    const plan = { chargeG: 3000, chargeEveryS: 1500 };
    const salted = openKiln({ seed: 4, startMs: START_MS, plan });
    while (salted.potter.stage !== 'salting') kilnStep(salted, 1);
    const unsalted = structuredClone(salted);
    unsalted.potter.nextChargeS = Number.POSITIVE_INFINITY;
    const read = () => ZONES.reduce((sum, zone) => sum + salted.tipC[zone] / 4, 0);
    const beforeC = read();
    const costs: number[] = [];
    const after: number[] = [];
    let stoked = false;
    for (let second = 0; second < 900; second++) {
      const deeds = [...kilnStep(salted, 1), ...kilnStep(unsalted, 1)];
      stoked ||= deeds.some(({ log }) => log === 'stoke');
      // Once one of them is stoked, the two differ by more than the salt.
      if (!stoked) costs.push(Math.max(...ZONES.map((zone) => unsalted.tipC[zone] - salted.tipC[zone])));
      after.push(read());
    }
    expect(salted.potter.saltedG).toBe(3000);
    expect(Math.max(...costs)).toBeGreaterThan(11);
    expect(Math.max(...costs)).toBeLessThan(28);
    expect(Math.max(...after.slice(300))).toBeGreaterThan(beforeC);
  }, 60_000);
});
