/**
 * The chamber of the demo kiln: hot gas from the firebox passes the ware front to back, high and low, gives heat to
 * pots, shelves and brick, and leaves by the flue at the back's foot. Brick stores heat in four layers and loses it
 * outside.
 *
 * The gas meets each zone as a heat exchanger of constant surface temperature (handbook: effectiveness 1 - exp(-NTU)).
 * Radiation is a conductance growing with the cube of the absolute temperature. The heat given and taken is booked to
 * the last joule, so that a test can audit it.
 */
import { kelvin } from '../core/heat-work/arrhenius.ts';

export const ZONES = ['front-low', 'front-high', 'back-low', 'back-high'] as const;
export type Zone = (typeof ZONES)[number];

const GAS_KJ_PER_KG_K = 1.17;
/** Firebrick with some insulating brick behind it, 40 cm in all: W/(m K), kJ/(m³ K), thickness of the layers from the hot face out. */
const BRICK_W_PER_M_K = 0.8;
const BRICK_KJ_PER_M3_K = 2_000;
const LAYERS_M = [0.025, 0.06, 0.115, 0.2] as const;
const OUTSIDE_W_PER_M2_K = 10;

/** Flames, embers and the brick skin of the firebox, kJ/K; the firebox's brick behind it, kJ/K. */
const FIREBOX_KJ_PER_K = 14;
const HEARTH_KJ_PER_K = 900;
const HEARTH_LOSS_KW_PER_K = 0.003;

/** The longest flame's share that burns behind the front, and the flame, kW, at which it is half as long. */
const LONG_FLAME_SHARE = 0.16;
const LONG_FLAME_KW = 250;

interface ZoneSetting {
  wareKJPerK: number;
  /** Brick that belongs to the zone. */
  wallM2: number;
  /** Surface of ware and shelves that the gas sweeps. */
  sweptM2: number;
}

const SETTING: Record<Zone, ZoneSetting> = {
  'front-low': { wareKJPerK: 215, wallM2: 3.6, sweptM2: 1.6 },
  'front-high': { wareKJPerK: 225, wallM2: 3.7, sweptM2: 1.7 },
  'back-low': { wareKJPerK: 235, wallM2: 3.4, sweptM2: 4.2 },
  'back-high': { wareKJPerK: 235, wallM2: 3.5, sweptM2: 4.2 },
};

const FRONT = ['front-low', 'front-high'] as const;

/** Neighbours that see each other through the setting. */
const NEIGHBOURS: readonly (readonly [Zone, Zone])[] = [
  ['front-low', 'front-high'],
  ['back-low', 'back-high'],
  ['front-low', 'back-low'],
  ['front-high', 'back-high'],
];

export interface ZoneState {
  wareC: number;
  /** Brick from the hot face outward. */
  brickC: [number, number, number, number];
  /** Mean temperature of the gas that passes. */
  gasC: number;
}

export interface Chamber {
  setting: Record<Zone, ZoneSetting>;
  zones: Record<Zone, ZoneState>;
  fireboxC: number;
  hearthC: number;
  flueC: number;
  /** Booked since the start, kJ: from the fire, up the flue (above ambient), through the walls. */
  firedKJ: number;
  flueKJ: number;
  wallKJ: number;
}

const zoneAt = (tempC: number): ZoneState => ({
  wareC: tempC,
  brickC: [tempC, tempC, tempC, tempC],
  gasC: tempC,
});

/** A kiln that has stood at `tempC` for days; `load`: its ware, as a part of the usual. */
export function openChamber(tempC: number, load = 1): Chamber {
  const withWare = (setting: ZoneSetting) => ({ ...setting, wareKJPerK: setting.wareKJPerK * load });
  return {
    setting: {
      'front-low': withWare(SETTING['front-low']),
      'front-high': withWare(SETTING['front-high']),
      'back-low': withWare(SETTING['back-low']),
      'back-high': withWare(SETTING['back-high']),
    },
    zones: {
      'front-low': zoneAt(tempC),
      'front-high': zoneAt(tempC),
      'back-low': zoneAt(tempC),
      'back-high': zoneAt(tempC),
    },
    fireboxC: tempC,
    hearthC: tempC,
    flueC: tempC,
    firedKJ: 0,
    flueKJ: 0,
    wallKJ: 0,
  };
}

/** Heat stored above 0 °C, kJ. */
export function storedKJ(chamber: Chamber): number {
  let heatKJ = FIREBOX_KJ_PER_K * chamber.fireboxC + HEARTH_KJ_PER_K * chamber.hearthC;
  for (const zone of ZONES) {
    const { wareC, brickC } = chamber.zones[zone];
    const { wareKJPerK, wallM2 } = chamber.setting[zone];
    heatKJ += wareKJPerK * wareC;
    LAYERS_M.forEach((thickM, layer) => {
      heatKJ += wallM2 * thickM * BRICK_KJ_PER_M3_K * (brickC[layer] ?? 0);
    });
  }
  return heatKJ;
}

/** 4 σ T³ at a temperature in °C, W/(m² K). σ is the Stefan-Boltzmann constant, CODATA 2018. */
function radiantWPerM2K(tempC: number): number {
  const tempK = kelvin(tempC);
  return 4 * 5.670374419e-8 * tempK * tempK * tempK;
}

/** Gas gives heat to one zone; returns the gas temperature behind it. `gasKWPerK` is the stream's capacity. */
function passZone(
  state: ZoneState,
  setting: ZoneSetting,
  gasInC: number,
  gasKWPerK: number,
  dtS: number,
): number {
  // Flame and wood smoke radiate weakly (emissivity about a fifth); moving gas adds about 12 W/(m² K).
  const filmKWPerM2K = (12 + 0.2 * radiantWPerM2K((gasInC + state.wareC) / 2)) / 1000;
  const toWare = filmKWPerM2K * setting.sweptM2;
  const toBrick = filmKWPerM2K * setting.wallM2 * 0.4;
  const both = toWare + toBrick;
  const brickC = state.brickC[0];
  const surfaceC = (toWare * state.wareC + toBrick * brickC) / both;
  const takenKW = gasKWPerK * (1 - Math.exp(-both / gasKWPerK)) * (gasInC - surfaceC);
  state.gasC = surfaceC + takenKW / both;
  state.brickC[0] += (toBrick * (state.gasC - brickC) * dtS) / brickLayerKJPerK(setting, 0);
  state.wareC += (toWare * (state.gasC - state.wareC) * dtS) / setting.wareKJPerK;
  return gasInC - takenKW / gasKWPerK;
}

function brickLayerKJPerK(setting: ZoneSetting, layer: 0 | 1 | 2 | 3): number {
  return setting.wallM2 * LAYERS_M[layer] * BRICK_KJ_PER_M3_K;
}

/** Ware and brick face trade radiation, heat soaks outward, and the outside loses it. Returns the loss, kW. */
function soakWall(state: ZoneState, setting: ZoneSetting, ambientC: number, dtS: number): number {
  const brick = state.brickC;
  const seenKW =
    ((0.5 * radiantWPerM2K((state.wareC + brick[0]) / 2) * setting.wallM2) / 1000) * (state.wareC - brick[0]);
  state.wareC -= (seenKW * dtS) / setting.wareKJPerK;
  const between = (inner: 0 | 1 | 2, outer: 1 | 2 | 3): number =>
    ((BRICK_W_PER_M_K * setting.wallM2) / ((LAYERS_M[inner] + LAYERS_M[outer]) / 2) / 1000) *
    (brick[inner] - brick[outer]);
  const first = between(0, 1);
  const second = between(1, 2);
  const third = between(2, 3);
  const outsideKWPerK = setting.wallM2 / (1 / OUTSIDE_W_PER_M2_K + LAYERS_M[3] / 2 / BRICK_W_PER_M_K) / 1000;
  const lostKW = outsideKWPerK * (brick[3] - ambientC);
  brick[0] += ((seenKW - first) * dtS) / brickLayerKJPerK(setting, 0);
  brick[1] += ((first - second) * dtS) / brickLayerKJPerK(setting, 1);
  brick[2] += ((second - third) * dtS) / brickLayerKJPerK(setting, 2);
  brick[3] += ((third - lostKW) * dtS) / brickLayerKJPerK(setting, 3);
  return lostKW;
}

export interface Firing {
  /** Heat of the embers (less what salt, water and cold wood take) and of the flame, kW; gas, kg/s. */
  emberKW: number;
  flameKW: number;
  gasKgPerS: number;
  /** Share of the gas that goes high, 0 to 1. */
  highShare: number;
  ambientC: number;
}

/** One step of `dtS` seconds (up to about 20). */
export function heatChamber(chamber: Chamber, firing: Firing, dtS: number): void {
  const { ambientC, emberKW, flameKW } = firing;
  // A large flame is a long one: part of it burns only behind the front.
  const longKW = (LONG_FLAME_SHARE * flameKW * flameKW) / (flameKW + LONG_FLAME_KW);
  const gasKWPerK = Math.max(1e-4, firing.gasKgPerS) * GAS_KJ_PER_KG_K;
  const hearthKWPerK = 0.03 + 0.5e-3 * radiantWPerM2K(chamber.hearthC);

  // The firebox answers within seconds: taken implicitly, so that any step holds.
  const wasC = chamber.fireboxC;
  chamber.fireboxC =
    (FIREBOX_KJ_PER_K * wasC +
      dtS * (emberKW + flameKW - longKW + gasKWPerK * ambientC + hearthKWPerK * chamber.hearthC)) /
    (FIREBOX_KJ_PER_K + dtS * (gasKWPerK + hearthKWPerK));
  const hearthLossKW = HEARTH_LOSS_KW_PER_K * (chamber.hearthC - ambientC);
  const toHearthKW = hearthKWPerK * (chamber.fireboxC - chamber.hearthC);
  chamber.hearthC += ((toHearthKW - hearthLossKW) * dtS) / HEARTH_KJ_PER_K;

  const { zones, setting } = chamber;
  for (const zone of FRONT) {
    const state = zones[zone];
    const seenKW =
      0.25e-3 * radiantWPerM2K((chamber.hearthC + state.brickC[0]) / 2) * (chamber.hearthC - state.brickC[0]);
    chamber.hearthC -= (seenKW * dtS) / HEARTH_KJ_PER_K;
    state.brickC[0] += (seenKW * dtS) / brickLayerKJPerK(setting[zone], 0);
  }
  const highKWPerK = gasKWPerK * firing.highShare;
  const lowKWPerK = gasKWPerK - highKWPerK;
  const burningC = longKW / gasKWPerK;
  const lowC =
    burningC + passZone(zones['front-low'], setting['front-low'], chamber.fireboxC, lowKWPerK, dtS);
  const highC =
    burningC + passZone(zones['front-high'], setting['front-high'], chamber.fireboxC, highKWPerK, dtS);
  const overC = passZone(zones['back-high'], setting['back-high'], highC, highKWPerK, dtS);
  const metC = (lowC * lowKWPerK + overC * highKWPerK) / gasKWPerK;
  chamber.flueC = passZone(zones['back-low'], setting['back-low'], metC, gasKWPerK, dtS);

  let lostKW = hearthLossKW;
  for (const zone of ZONES) lostKW += soakWall(zones[zone], setting[zone], ambientC, dtS);
  for (const [one, other] of NEIGHBOURS) {
    const a = zones[one];
    const b = zones[other];
    const tradedKW = 0.6e-3 * radiantWPerM2K((a.wareC + b.wareC) / 2) * (a.wareC - b.wareC);
    a.wareC -= (tradedKW * dtS) / setting[one].wareKJPerK;
    b.wareC += (tradedKW * dtS) / setting[other].wareKJPerK;
  }
  chamber.firedKJ += (emberKW + flameKW) * dtS;
  chamber.flueKJ += gasKWPerK * (chamber.flueC - ambientC) * dtS;
  chamber.wallKJ += lostKW * dtS;
}
