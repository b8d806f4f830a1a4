/** The potters and their kilns: how they climb, hold, stoke and salt, and what plan they write down. */
import type { KilnBuild } from '../../collector/demo-kiln/kiln.ts';
import { type PotterPlan, USUAL_PLAN } from '../../collector/demo-kiln/potter-plan.ts';
import { type Random, uniform } from '../../collector/demo-kiln/random.ts';
import { type Plan, planSchema } from '../../protocol/plan.ts';

/** A whole number from `low` to `high`, both included. */
export function between(random: Random, low: number, high: number): number {
  return low + Math.floor(uniform(random) * (high - low + 1));
}

/** One of them. Throws RangeError of an empty list. */
export function pick<Thing>(random: Random, things: readonly Thing[]): Thing {
  const thing = things[Math.floor(uniform(random) * things.length)];
  if (thing === undefined) throw new RangeError('nothing to pick from');
  return thing;
}

const part = (random: Random, low: number, high: number): number =>
  between(random, low * 100, high * 100) / 100;

const CANDLED_C = 150;
const LATE_C = 1100;

export interface Potter {
  potter: PotterPlan;
  build: KilnBuild;
  /** Written down first, or null. */
  plan: Plan | null;
  words: string[];
}

/**
 * Within what the kiln can still be fired with: slower stokes or wetter wood than these do not bring it to salting heat,
 * and more uneven ones swing it further than potters tell of.
 * Only who logs holds the kiln: a hold that nobody told of is, by its definition, none.
 */
export function potterOf(random: Random, logs: boolean, firingCone: string): Potter {
  const candling = part(random, 0.9, 1.3);
  const middle = part(random, 0.7, 1.25);
  const late = part(random, 0.6, 1.2);
  const rhythmTimes = part(random, 0.65, 1.15);
  const saltingStartC = logs ? pick(random, [1180, 1204.4, 1204.4, 1215]) : 1204.4;
  const holds = logs && uniform(random) < 0.5 ? holdsOf(random) : [];
  const potter: PotterPlan = {
    ...USUAL_PLAN,
    lightUpAfterMin: between(random, 5, 30),
    climbs: USUAL_PLAN.climbs.map(({ toC, climbCPerH }) => ({
      toC,
      climbCPerH: climbCPerH * (toC <= CANDLED_C ? candling : toC <= LATE_C ? middle : late),
    })),
    holds,
    reduceFromC: between(random, 860, 960),
    reduceMin: between(random, 15, 60),
    saltingStartC,
    saltG: 1000 * between(random, 9, 23),
    chargeG: pick(random, [150, 365, 365, 700]),
    chargeEveryS: pick(random, [60, 90, 150]),
    soakMin: between(random, 20, 70),
    topC: saltingStartC + between(random, 25, 60),
    woodMoisture: part(random, 0.12, 0.19),
    rhythmTimes,
    unevenness: part(random, 0.5, 1.6),
  };
  const build: KilnBuild = {
    load: part(random, 0.85, 1.15),
    draught: part(random, 0.95, 1.15),
    gasSeen: part(random, 0.75, 1.2),
    lag: part(random, 0.7, 1.7),
  };
  const planned = holds.length > 0 && uniform(random) < 0.5;
  const plan = logs
    ? planSchema.parse({
        name: 'scored',
        saltingStartC,
        firingCone,
        topC: potter.topC + 30,
        saltKg: potter.saltG / 1000,
        chargeG: potter.chargeG,
        holds: planned ? holds : [],
      })
    : null;
  const words = [
    `climbs ×${candling}/${middle}/${late}`,
    `rhythm ×${rhythmTimes}, uneven ×${potter.unevenness}`,
    `salting from ${saltingStartC} °C`,
    `wood ${Math.round(potter.woodMoisture * 100)} % wet`,
    `load ×${build.load}, draught ×${build.draught}, gas seen ×${build.gasSeen}, lag ×${build.lag}`,
    ...holds.map(({ atC, minutes }) => `${planned ? 'planned' : 'logged'} hold at ${atC} °C, ${minutes} min`),
  ];
  return { potter, build, plan, words };
}

function holdsOf(random: Random): PotterPlan['holds'] {
  const atC = between(random, 500, 650);
  const first = { atC, minutes: between(random, 25, 90) };
  const second = { atC: atC + between(random, 250, 500), minutes: between(random, 25, 60) };
  return pick(random, [[first], [second], [first, second]]);
}
