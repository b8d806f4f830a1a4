/**
 * The demo kiln: fire, chamber, couples and potter, stepped together. It is invented, seeded, and reads no clock: the
 * same seed and script give the same firing to the last digit.
 */
import { kelvin } from '../core/heat-work/arrhenius.ts';
import { type Chamber, heatChamber, openChamber, ZONES, type Zone } from './chamber.ts';
import { type ConePacks, heatConePacks, openConePacks } from './cone-packs.ts';
import { burnFire, charKg, type Fire, openFire, openHole, stokeFire } from './fire.ts';
import { tendKiln } from './potter.ts';
import { type PotterPlan, USUAL_PLAN } from './potter-plan.ts';
import { type Deed, openPotter, type Potter, type Sight } from './potter-state.ts';
import { openRandom, type Random } from './random.ts';
import { beginScripted, type FireTrouble, isGoingOn, type Scheduled, schedule } from './troubles.ts';

/** How this kiln differs from the usual one; each a part of the usual. */
export interface KilnBuild {
  /** Ware and shelves in it. */
  load: number;
  /** What the chimney draws. */
  draught: number;
  /** How much of the passing gas the couples see, and how slowly they follow. */
  gasSeen: number;
  lag: number;
}

const USUAL_BUILD: KilnBuild = { load: 1, draught: 1, gasSeen: 1, lag: 1 };

export interface KilnSetting {
  seed: number;
  /** Epoch ms at which the kiln stands cold and the board is switched on. */
  startMs: number;
  plan?: Partial<PotterPlan>;
  build?: Partial<KilnBuild>;
  /** The places whose mean the potter goes by; all four unless told. */
  readAt?: readonly Zone[];
  troubles?: readonly FireTrouble[];
}

/** Changed in place by `kilnStep`; what it holds is the truth that readings are noisy looks at. */
export interface Kiln {
  startMs: number;
  /** Seconds since the start. */
  nowS: number;
  /** Seconds since the start at light-up, or null before it. */
  litS: number | null;
  ambientC: number;
  readAt: readonly Zone[];
  build: KilnBuild;
  fire: Fire;
  chamber: Chamber;
  potter: Potter;
  cones: ConePacks;
  random: Random;
  troubles: Scheduled<FireTrouble>[];
  /** Noise-free temperature at each place where a couple hangs, and what the couple's tip has of it by now. */
  placeC: Record<Zone, number>;
  tipC: Record<Zone, number>;
  /** Heat that salt still takes as it melts and boils, kJ. */
  saltTakesKJ: number;
  /** Heat of all wood put in so far, kJ, and of what left as smoke. */
  woodKJ: number;
  smokeKJ: number;
}

/** A couple sees passing gas and the ware around it: how much of the gas, and how slowly it follows, by place. */
const COUPLES: Record<Zone, { gasShare: number; lagS: number }> = {
  'front-low': { gasShare: 0.15, lagS: 25 },
  'front-high': { gasShare: 0.16, lagS: 20 },
  'back-low': { gasShare: 0.55, lagS: 40 },
  'back-high': { gasShare: 0.55, lagS: 30 },
};

/** Air through a hot chimney with the damper all out, kg/s, and through the cracks of a closed kiln. */
const FULL_DRAUGHT_KG_PER_S = 0.47;
const CRACKS_KG_PER_S = 0.0015;
const WET_WOOD_MOISTURE = 0.38;
/** What a knocked damper leaves of the opening. */
const SHUT = 0.4;
/** Warming, melting and boiling common salt: 0.85 kJ/(kg K) × 1200 K + 480 + 2900 kJ/kg, rounded (handbook). */
const SALT_KJ_PER_KG = 4_400;
const SALT_BOILS_S = 25;

/** A night and a day of early spring: coldest before dawn. */
function ambientAt(epochMs: number): number {
  const dayShare = (epochMs % 86_400_000) / 86_400_000;
  return 9 + 5 * Math.sin(2 * Math.PI * (dayShare - 0.4));
}

export function openKiln(setting: KilnSetting): Kiln {
  const ambientC = ambientAt(setting.startMs);
  const build = { ...USUAL_BUILD, ...setting.build };
  const cold = { 'front-low': ambientC, 'front-high': ambientC, 'back-low': ambientC, 'back-high': ambientC };
  return {
    startMs: setting.startMs,
    nowS: 0,
    litS: null,
    ambientC,
    readAt: setting.readAt ?? ZONES,
    build,
    fire: openFire(),
    chamber: openChamber(ambientC, build.load),
    potter: openPotter({ ...USUAL_PLAN, ...setting.plan }, ambientC),
    cones: openConePacks(),
    random: openRandom(setting.seed, 'potter'),
    troubles: schedule(setting.troubles ?? []),
    placeC: { ...cold },
    tipC: { ...cold },
    saltTakesKJ: 0,
    woodKJ: 0,
    smokeKJ: 0,
  };
}

/** Draught by the heat of the flue: a chimney pulls with the square root of its gas's lightness. */
function draughtKgPerS(kiln: Kiln, damperOpen: number): number {
  if (kiln.potter.stage === 'cooling' || kiln.potter.stage === 'open') return CRACKS_KG_PER_S;
  const lightness = Math.max(0, 1 - kelvin(kiln.ambientC) / kelvin(kiln.chamber.flueC));
  const drawn = FULL_DRAUGHT_KG_PER_S * damperOpen * Math.max(0.25, Math.sqrt(lightness));
  return CRACKS_KG_PER_S + drawn * kiln.build.draught;
}

function act(kiln: Kiln, deed: Deed): void {
  switch (deed.log) {
    case 'light-up':
      kiln.litS = kiln.nowS;
      return;
    case 'stoke':
      kiln.woodKJ += stokeFire(kiln.fire, deed.hole, deed.wood);
      return;
    case 'salt':
      kiln.saltTakesKJ += ((deed.g ?? 0) / 1000) * SALT_KJ_PER_KG;
      openHole(kiln.fire, deed.hole, 5);
      return;
    case 'draw':
      openHole(kiln.fire, 'right', 20);
      return;
    case 'rake':
      kiln.fire.rakedS = 1500;
      return;
  }
}

function meanC(byZone: Record<Zone, number>, zones: readonly Zone[] = ZONES): number {
  return zones.reduce((sum, zone) => sum + byZone[zone], 0) / zones.length;
}

function hottestC(byZone: Record<Zone, number>): number {
  return Math.max(byZone['front-low'], byZone['front-high'], byZone['back-low'], byZone['back-high']);
}

/** Lets troubles begin that are due; the answer is what the potter then sees. */
function lookAtKiln(kiln: Kiln): Sight {
  const { nowS, tipC } = kiln;
  const readC = meanC(tipC, kiln.readAt);
  beginScripted(kiln.troubles, nowS, kiln.litS, readC);
  const going = kiln.troubles.filter((trouble) => isGoingOn(trouble, nowS)).map(({ script }) => script);
  const wet = going.find(({ what }) => what === 'wet-wood');
  return {
    nowS,
    readC,
    hottestC: hottestC(tipC),
    emberKg: charKg(kiln.fire),
    wetWood: wet ? (wet.moisture ?? WET_WOOD_MOISTURE) : null,
    on: (what) => going.some((trouble) => trouble.what === what),
    random: kiln.random,
  };
}

/** The couples take up, each in its own time, what their places have of gas, ware and brick. */
function warmCouples({ chamber, build, placeC, tipC }: Kiln, dtS: number): void {
  for (const zone of ZONES) {
    const { gasC, wareC, brickC } = chamber.zones[zone];
    const gasShare = COUPLES[zone].gasShare * build.gasSeen;
    const lagS = COUPLES[zone].lagS * build.lag;
    placeC[zone] = gasShare * gasC + (1 - gasShare) * (0.6 * wareC + 0.4 * brickC[0]);
    tipC[zone] += (1 - Math.exp(-dtS / lagS)) * (placeC[zone] - tipC[zone]);
  }
}

/** Goes on by `dtS` seconds, up to 20 (1 is usual). Returns what the potter did and saw. */
export function kilnStep(kiln: Kiln, dtS: number): Deed[] {
  kiln.nowS += dtS;
  const { potter, chamber, nowS } = kiln;
  kiln.ambientC = ambientAt(kiln.startMs + nowS * 1000);
  const sight = lookAtKiln(kiln);
  const deeds = tendKiln(potter, sight, dtS);
  for (const deed of deeds) act(kiln, deed);

  const damperOpen = potter.damperOpen * (sight.on('damper-shut') ? SHUT : 1);
  const burnt = burnFire(kiln.fire, dtS, draughtKgPerS(kiln, damperOpen), chamber.fireboxC);
  kiln.smokeKJ += burnt.smokeKW * dtS;
  const saltKJ = kiln.saltTakesKJ * (1 - Math.exp(-dtS / SALT_BOILS_S));
  kiln.saltTakesKJ -= saltKJ;
  heatChamber(
    chamber,
    {
      emberKW: burnt.emberKW - saltKJ / dtS,
      flameKW: burnt.flameKW,
      gasKgPerS: burnt.gasKgPerS,
      // A wide damper pulls the flame along the floor to the back; a narrow one lets it rise.
      highShare: 0.62 - 0.14 * damperOpen,
      ambientC: kiln.ambientC,
    },
    dtS,
  );
  warmCouples(kiln, dtS);
  heatConePacks(kiln.cones, kiln.placeC, nowS, deeds);
  return deeds;
}

/** The truth: noise-free mean of the four places, °C. */
export function kilnMeanC(kiln: Kiln): number {
  return meanC(kiln.placeC);
}
