/**
 * The fire of the demo kiln: two ember beds, one below each stoke hole. A stoke is cold, damp wood; it warms, steams,
 * gives off gas that burns as flame within some minutes, and leaves char that burns for most of an hour. How much
 * burns is bounded by the air that the chimney draws through the embers.
 *
 * Figures are handbook magnitudes for wood (volatiles about 78 % of the dry mass; 15 MJ/kg for the gas and 32 MJ/kg
 * for char, together about 18.7 MJ/kg dry; 5.5 and 11.5 kg of air to burn a kilogram of each). The kiln is invented.
 */

const HOLES = ['left', 'right'] as const;
export type Hole = (typeof HOLES)[number];

const VOLATILE_SHARE = 0.78;
const VOLATILE_KJ_PER_KG = 15_000;
/** Cold wood takes this as it warms and chars, and the flame gives it back. */
const WARMING_KJ_PER_KG = 700;
const CHAR_KJ_PER_KG = 32_000;
const WOOD_KJ_PER_KG = VOLATILE_SHARE * VOLATILE_KJ_PER_KG + (1 - VOLATILE_SHARE) * CHAR_KJ_PER_KG;
const VOLATILE_AIR_PER_KG = 5.5;
const CHAR_AIR_PER_KG = 11.5;
/** Warming water from ambient, boiling it, and warming the steam some way. */
const WATER_KJ_PER_KG = 2_800;
const WARMING_S = 30;
const CHAR_LIFE_S = 2_400;
/** Char, with half of the wood on it, at which the ember beds let through half of the air. */
const CHOKING_KG = 58;
/** With no air to spare this share of the heat leaves as carbon monoxide and soot. */
const RICH_LOSS = 0.25;
/** What as much steam as gas takes off the flame. */
const STEAM_DAMPS = 0.1;
const HOLE_OPEN_S = 32;
/** Cold air through an open stoke hole. */
const OPEN_HOLE_AIR_KG_PER_S = 0.16;

interface Bed {
  /** Dry wood still cold, dry wood that gives off gas, water in both, char. All in kg. */
  coldKg: number;
  gassingKg: number;
  waterKg: number;
  charKg: number;
  /** How long the wood in it gives off gas: thick pieces longer, s. */
  gassingS: number;
  /** The stoke hole stands open for so many more seconds. */
  openS: number;
}

export interface Fire {
  beds: Record<Hole, Bed>;
  /** Embers are being raked: char burns at 1.4 times its pace for so many more seconds. */
  rakedS: number;
}

export interface FireResult {
  /** Heat set free among the embers less heat taken by water and cold wood, kW. */
  emberKW: number;
  /** Heat of the flame, kW. */
  flameKW: number;
  /** Gas that leaves the firebox, kg/s. */
  gasKgPerS: number;
  /** Heat that found no air and left as smoke, kW. */
  smokeKW: number;
}

const emptyBed = (): Bed => ({ coldKg: 0, gassingKg: 0, waterKg: 0, charKg: 0, gassingS: 100, openS: 0 });

export function openFire(): Fire {
  return { beds: { left: emptyBed(), right: emptyBed() }, rakedS: 0 };
}

export interface Wood {
  kg: number;
  /** Share of water by wet mass, 0 to 1. */
  moisture: number;
  /** How long its pieces give off gas, s: about 100 for thin splits, 300 for thick ones. */
  gassingS: number;
}

/** Puts wood through a stoke hole, and holds it open meanwhile. Returns the heat in it, kJ, its water's share taken off. */
export function stokeFire(fire: Fire, hole: Hole, { kg, moisture, gassingS }: Wood): number {
  const bed = fire.beds[hole];
  const dryKg = kg * (1 - moisture);
  const thereKg = bed.coldKg + bed.gassingKg;
  bed.gassingS = (bed.gassingS * thereKg + gassingS * dryKg) / (thereKg + dryKg);
  bed.coldKg += dryKg;
  bed.waterKg += kg * moisture;
  bed.openS = HOLE_OPEN_S;
  return dryKg * WOOD_KJ_PER_KG - kg * moisture * WATER_KJ_PER_KG;
}

/** Opens a stoke hole for `seconds` without wood: for salt, a draw ring, or a look. */
export function openHole(fire: Fire, hole: Hole, seconds: number): void {
  const bed = fire.beds[hole];
  bed.openS = Math.max(bed.openS, seconds);
}

/** Heat left in the beds, kJ, what its water will take off. */
export function fuelLeftKJ({ beds }: Fire): number {
  let leftKJ = 0;
  for (const hole of HOLES) {
    const bed = beds[hole];
    leftKJ += (bed.coldKg + bed.gassingKg) * WOOD_KJ_PER_KG + bed.gassingKg * WARMING_KJ_PER_KG;
    leftKJ += bed.charKg * CHAR_KJ_PER_KG - bed.waterKg * WATER_KJ_PER_KG;
  }
  return leftKJ;
}

/** Char in both beds, kg. */
export function charKg(fire: Fire): number {
  return fire.beds.left.charKg + fire.beds.right.charKg;
}

/** Share of the draught's air that comes through the ember beds, 0 to 1. */
function throughEmbers({ beds: { left, right } }: Fire): number {
  const woodKg = left.coldKg + left.gassingKg + right.coldKg + right.gassingKg;
  const depth = (left.charKg + right.charKg + woodKg / 2) / CHOKING_KG;
  return 1 / (1 + depth * depth * depth * depth);
}

/**
 * Burns for `dtS` seconds with `draughtKgPerS` of air drawn by the chimney. A cold firebox (`fireboxC`) gasses wood
 * more slowly.
 */
export function burnFire(fire: Fire, dtS: number, draughtKgPerS: number, fireboxC: number): FireResult {
  const airKgPerS = draughtKgPerS * throughEmbers(fire);
  const slowness = 1 + 2 / (1 + Math.max(0, fireboxC) / 150);
  const charLifeS = fire.rakedS > 0 ? CHAR_LIFE_S / 1.4 : CHAR_LIFE_S;
  let warmedKgPerS = 0;
  let volatileKgPerS = 0;
  let charWantedKgPerS = 0;
  let steamKgPerS = 0;
  let openAirKgPerS = 0;
  for (const hole of HOLES) {
    const bed = fire.beds[hole];
    const damp = bed.waterKg / (bed.coldKg + bed.gassingKg + 0.2);
    const warmedKg = bed.coldKg * (1 - Math.exp(-dtS / (WARMING_S * slowness * (1 + damp))));
    const gassedKg = bed.gassingKg * (1 - Math.exp(-dtS / (bed.gassingS * slowness * (1 + 1.5 * damp))));
    const steamKg = bed.waterKg * (1 - Math.exp(-dtS / (100 * slowness)));
    bed.coldKg -= warmedKg;
    bed.gassingKg += warmedKg - gassedKg;
    bed.waterKg -= steamKg;
    bed.charKg += gassedKg * (1 - VOLATILE_SHARE);
    warmedKgPerS += warmedKg / dtS;
    volatileKgPerS += (gassedKg * VOLATILE_SHARE) / dtS;
    steamKgPerS += steamKg / dtS;
    charWantedKgPerS += bed.charKg / charLifeS;
    if (bed.openS > 0) openAirKgPerS += OPEN_HOLE_AIR_KG_PER_S * Math.min(1, bed.openS / dtS);
    bed.openS = Math.max(0, bed.openS - dtS);
  }
  fire.rakedS = Math.max(0, fire.rakedS - dtS);

  const wantedAir = volatileKgPerS * VOLATILE_AIR_PER_KG + charWantedKgPerS * CHAR_AIR_PER_KG;
  // Air through the open hole burns flame too, where it meets it.
  const airRatio = wantedAir > 1e-9 ? (airKgPerS + openAirKgPerS / 2) / wantedAir : 1e3;
  // A smooth least of 1 and the ratio: gas and air never meet perfectly.
  const squared = Math.min(1e6, airRatio * airRatio);
  const mixed = Math.sqrt(squared / Math.sqrt(1 + squared * squared));
  // Steam among the gas puts part of the flame out.
  const steamy = Math.min(3, steamKgPerS / (volatileKgPerS + 1e-6));
  const burnt = mixed / (1 + STEAM_DAMPS * steamy * steamy);
  const charKgPerS = charWantedKgPerS * burnt;
  for (const hole of HOLES) {
    const bed = fire.beds[hole];
    bed.charKg -= (bed.charKg / charLifeS) * burnt * dtS;
  }
  const kept = 1 - RICH_LOSS * (1 - burnt);
  const gasKJPerKg = VOLATILE_KJ_PER_KG + WARMING_KJ_PER_KG / VOLATILE_SHARE;
  return {
    emberKW:
      charKgPerS * CHAR_KJ_PER_KG * kept - steamKgPerS * WATER_KJ_PER_KG - warmedKgPerS * WARMING_KJ_PER_KG,
    flameKW: volatileKgPerS * burnt * gasKJPerKg * kept,
    gasKgPerS: airKgPerS + openAirKgPerS + volatileKgPerS + charKgPerS + steamKgPerS,
    smokeKW: volatileKgPerS * gasKJPerKg * (1 - burnt * kept) + charKgPerS * CHAR_KJ_PER_KG * (1 - kept),
  };
}
