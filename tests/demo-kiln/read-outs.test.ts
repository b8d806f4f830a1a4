/**
 * What the score's firings look like on the read-out, by heat, against facts of the trade: how often they are stoked, how
 * far the reading dips and swings, and how fast the kiln comes back after a trouble. Figures told by potters stand beside
 * each check; CP: common practice, no source.
 */
import { beforeAll, describe, expect, it } from 'vitest';
import { recipeOf } from '../score/recipe.ts';
import { quantile } from '../score/rules.ts';
import { type SeenStoke, seenStokes } from './stokes.ts';
import { type TrueFiring, trueFiring } from './true-firing.ts';

/** Both kinds of potters, one to four couples, quick and slow rhythms. */
const SEEDS = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10];
const HOURS = 26;
const HOUR_S = 3600;

interface Seen extends SeenStoke {
  atC: number;
  /** Peak to peak until the next stoke, less what the kiln climbs meanwhile. */
  swingC: number;
  /** Hours since light-up. */
  sinceLitH: number;
}

/** The mean of the tips that the recipe's potter reads, each second. */
function readOut(firing: TrueFiring, seed: number): number[] {
  const { readAt = [] } = recipeOf(seed).board;
  return firing.placeC.map((_, i) =>
    readAt.reduce((sum, zone) => sum + (firing.tipC[zone][i] ?? Number.NaN) / readAt.length, 0),
  );
}

function fired(seed: number, withTrouble: boolean): TrueFiring {
  const { plan = {}, build = {}, readAt = [], troubles = [], startMs } = recipeOf(seed).board;
  return trueFiring({ seed, startMs, plan, build, readAt, troubles: withTrouble ? troubles : [] }, HOURS);
}

function stokesOf(seed: number): Seen[] {
  const firing = fired(seed, false);
  const readC = readOut(firing, seed);
  const litS = firing.deeds.find(({ deed }) => deed.log === 'light-up')?.atS ?? Number.NaN;
  return seenStokes(firing, readC, 0, HOURS * HOUR_S).flatMap((stoke) => {
    const minute = firing.minutes[Math.floor(stoke.atS / 60)];
    if (!minute || (minute.stage !== 'candling' && minute.stage !== 'climbing')) return [];
    const cycle = readC.slice(stoke.atS, stoke.atS + Math.round(60 * stoke.everyMin));
    const climbed = (i: number) => (minute.climbCPerH * i) / HOUR_S;
    const level = cycle.map((tempC, i) => tempC - climbed(i));
    const swingC = Math.max(...level) - Math.min(...level);
    const sinceLitH = (stoke.atS - litS) / HOUR_S;
    return [{ ...stoke, atC: readC[stoke.atS] ?? Number.NaN, swingC, sinceLitH }];
  });
}

const seen: Seen[] = [];
beforeAll(() => {
  for (const seed of SEEDS) seen.push(...stokesOf(seed));
}, 120_000);

const between = (fromC: number, toC: number) => seen.filter(({ atC }) => atC >= fromC && atC < toC);
const middle = (stokes: readonly Seen[], of: (stoke: Seen) => number) => quantile(stokes.map(of), 0.5);

describe("the read-outs of the score's firings", () => {
  // robskiln.com: 15 to 30 min in the first 8 h; haaripottery.blogspot: 20 falling to 10; potters.org 116953: about 5 late.
  it('are stoked every 15 to 30 min at first, about every 10 in the middle, and about every 5 late', () => {
    const everyMin = ({ everyMin: minutes }: Seen) => minutes;
    const first = seen.filter(({ sinceLitH }) => sinceLitH < 6);
    expect(middle(first, everyMin)).toBeGreaterThan(15);
    expect(middle(first, everyMin)).toBeLessThan(30);
    expect(middle(between(400, 800), everyMin)).toBeGreaterThan(8);
    expect(middle(between(400, 800), everyMin)).toBeLessThan(12);
    expect(middle(between(1000, 1300), everyMin)).toBeGreaterThan(4);
    expect(middle(between(1000, 1300), everyMin)).toBeLessThan(7);
  });

  // Potters' published diaries, karatsupots.com: a dip of 10 to 25 °C, then a rise of up to 10 min. Couples that see
  // little of the gas dip less.
  it('dip by 10 to 25 °C and rise for up to 10 min', () => {
    const burning = between(200, 1300);
    expect(middle(burning, ({ dipC }) => dipC)).toBeGreaterThan(9);
    expect(
      quantile(
        burning.map(({ dipC }) => dipC),
        0.97,
      ),
    ).toBeLessThan(25);
    expect(middle(burning, ({ riseMin }) => riseMin)).toBeGreaterThan(2);
    expect(
      quantile(
        burning.map(({ riseMin }) => riseMin),
        0.95,
      ),
    ).toBeLessThan(10);
  });

  // CP: the stoke sawtooth is ±10 to ±25 °C. At no heat is the ripple larger than life.
  it.each([
    [150, 400],
    [400, 700],
    [700, 1000],
    [1000, 1300],
  ])('swing by ±5 to ±25 °C from stoke to stoke, %i to %i °C', (fromC, toC) => {
    const stokes = between(fromC, toC);
    expect(stokes.length).toBeGreaterThan(100);
    expect(middle(stokes, ({ swingC }) => swingC)).toBeGreaterThan(2 * 5);
    expect(
      quantile(
        stokes.map(({ swingC }) => swingC),
        0.95,
      ),
    ).toBeLessThan(2 * 25);
  });

  // whistlecreek.blogspot: 55 to 83 °C/h is usual. Nobody told of a kiln that makes up for lost time at more than about
  // twice that (CP), embers raked through or not.
  it('come back after a trouble, at no more than about twice the usual climb', () => {
    const most = SEEDS.flatMap((seed) => {
      const { troubles = [] } = recipeOf(seed).board;
      if (troubles.length === 0) return [];
      const { minutes } = fired(seed, true);
      const climbs = minutes.flatMap(({ stage, climbCPerH }) => (stage === 'climbing' ? [climbCPerH] : []));
      return [Math.max(...climbs.filter((climb) => !Number.isNaN(climb)))];
    });
    expect(most.length).toBeGreaterThan(4);
    expect(quantile(most, 0.5)).toBeGreaterThan(83);
    expect(Math.max(...most)).toBeLessThan(2.3 * 83);
  }, 60_000);
});
