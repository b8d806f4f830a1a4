/**
 * What wood weighs and what heat is in it. Heat of combustion of oven-dry wood and specific gravities: USDA Forest Service,
 * Forest Products Laboratory, Wood Handbook and its notes on wood as fuel (values from memory). A cord's solid part:
 * lifirewood.com. `tests/published/fuel.test.ts` holds them against the heat of a cord as the University of Kentucky prints it.
 */
import type { Wood, WoodPlan } from '../../protocol/woods.ts';

/** Specific gravity, oven-dry mass over volume: of green wood, and at 12 % moisture of the dry mass. */
const GRAVITY: Record<Wood, { green: number; dry: number; resinous: boolean }> = {
  hickory: { green: 0.64, dry: 0.72, resinous: false },
  'white-oak': { green: 0.6, dry: 0.68, resinous: false },
  'red-oak': { green: 0.56, dry: 0.63, resinous: false },
  'sugar-maple': { green: 0.56, dry: 0.63, resinous: false },
  'white-ash': { green: 0.55, dry: 0.6, resinous: false },
  cherry: { green: 0.47, dry: 0.5, resinous: false },
  'yellow-poplar': { green: 0.4, dry: 0.42, resinous: false },
  'white-pine': { green: 0.34, dry: 0.35, resinous: true },
};

/** Btu in a pound of oven-dry wood: hardwoods about 8,600, resinous woods about 9,000. */
const HARDWOOD_BTU_PER_LB = 8600;
const RESINOUS_BTU_PER_LB = 9000;
/** Btu that take a pound of water from a cold stack to steam (handbook, rounded). */
const WATER_BTU_PER_LB = 1050;
/** 1 Btu (International Table) is 1055.056 J, and a pound 0.45359237 kg (NIST SP 811). */
const MJ_PER_KG_IN_BTU_PER_LB = 1055.056e-6 / 0.45359237;

/** Wood swells and shrinks with its water between 12 and 30 % of its dry mass, and no further. */
const FIBRES_FULL = 0.3;
const TABLED_DRY = 0.12;

/** 85 of a cord's 128 cubic feet are solid wood. */
const SOLID_CU_FT_PER_CORD = 85;
const CU_FT_PER_CORD = 128;
/** A foot is 0.3048 m exactly (NIST SP 811). */
const CUBIC_M_PER_CORD = CU_FT_PER_CORD * 0.3048 ** 3;
/** A face cord's face, 4 by 8 ft. */
const FACE_SQ_FT = 32;
/** Water, kg in a cubic foot. */
const WATER_KG_PER_CU_FT = 28.3168;

/** Kilograms in a cord, stacked. `moisture`: water's part of the wet weight, 0 to 0.7. */
export function kgPerCord({ species, moisture }: Pick<WoodPlan, 'species' | 'moisture'>): number {
  const { green, dry } = GRAVITY[species];
  const ofDryMass = moisture / (1 - moisture);
  const shrunk = (FIBRES_FULL - ofDryMass) / (FIBRES_FULL - TABLED_DRY);
  const gravity = green + (dry - green) * Math.min(1.4, Math.max(0, shrunk));
  return (SOLID_CU_FT_PER_CORD * WATER_KG_PER_CU_FT * gravity) / (1 - moisture);
}

/** Cords in a face cord of sticks this long: a third, of 16 inches. */
export function cordsPerFaceCord(stickIn: number): number {
  return (FACE_SQ_FT * (stickIn / 12)) / CU_FT_PER_CORD;
}

/** Kilograms in a face cord. */
export function kgPerFaceCord(wood: Pick<WoodPlan, 'species' | 'moisture' | 'stickIn'>): number {
  return kgPerCord(wood) * cordsPerFaceCord(wood.stickIn);
}

/** Heat set free by burning a kilogram as it is, MJ, the steam of its water counted as heat: the higher heating value. */
export function grossMJPerKg({ species, moisture }: Pick<WoodPlan, 'species' | 'moisture'>): number {
  const btu = GRAVITY[species].resinous ? RESINOUS_BTU_PER_LB : HARDWOOD_BTU_PER_LB;
  return btu * MJ_PER_KG_IN_BTU_PER_LB * (1 - moisture);
}

/** The same less what its water takes to boil off: what is there to heat the kiln and the flue gas, MJ in a kilogram. */
export function usableMJPerKg(wood: Pick<WoodPlan, 'species' | 'moisture'>): number {
  return grossMJPerKg(wood) - wood.moisture * WATER_BTU_PER_LB * MJ_PER_KG_IN_BTU_PER_LB;
}

/** What is stacked, kg; null where nobody has said. */
export function stackKg(wood: WoodPlan): number | null {
  if (wood.stack === null) return null;
  const { amount, unit } = wood.stack;
  if (unit === 'kg') return amount;
  if (unit === 'cubic-metres') return (amount / CUBIC_M_PER_CORD) * kgPerCord(wood);
  return amount * (unit === 'cords' ? kgPerCord(wood) : kgPerFaceCord(wood));
}
