/** What the demo kiln's potter means to do, and knows by experience. */

/** From the last step's temperature on, climb at `climbCPerH` until `toC`. */
interface ClimbStep {
  toC: number;
  climbCPerH: number;
}

/** The kiln is kept at `atC` for so long. */
interface Hold {
  atC: number;
  minutes: number;
}

export interface PotterPlan {
  /** Minutes between the board's start and light-up. */
  lightUpAfterMin: number;
  climbs: ClimbStep[];
  /** By heat, in the order in which they are met. */
  holds: Hold[];
  /** Body reduction begins here and lasts so long. */
  reduceFromC: number;
  reduceMin: number;
  saltingStartC: number;
  /** All of the salt, one charge through one hole, and the time between charges. */
  saltG: number;
  chargeG: number;
  chargeEveryS: number;
  soakMin: number;
  topC: number;
  /** The kiln is opened when its hottest place is below this. */
  unbrickC: number;
  /** Share of water in the wood by wet mass. */
  woodMoisture: number;
  /** Minutes between stokes, as a part of the usual ones: the stokes are as much larger or smaller. */
  rhythmTimes: number;
  /** How much the stokes differ from one another in size and time, as a part of the usual. */
  unevenness: number;
}

/**
 * Candling: near 80 °C slowly (Ceramic Arts Network), about 6 h of it (lesliehinton.com). 55 to 80 °C/h through the
 * middle (whistlecreek.blogspot: 100 to 150 °F/h), the last hundred degrees slower. Body reduction from cone 010 for
 * half an hour (lmosley.com). Salting at 2200 °F, 50 lb in about an hour by the quarter cup, here five of them (365 g)
 * a minute; opened below 400 °F: common practice, no source.
 */
export const USUAL_PLAN: PotterPlan = {
  lightUpAfterMin: 20,
  climbs: [
    { toC: 75, climbCPerH: 21 },
    { toC: 108, climbCPerH: 18 },
    { toC: 130, climbCPerH: 21 },
    { toC: 150, climbCPerH: 29 },
    { toC: 200, climbCPerH: 47 },
    { toC: 260, climbCPerH: 61 },
    { toC: 350, climbCPerH: 70 },
    { toC: 650, climbCPerH: 77 },
    { toC: 1100, climbCPerH: 83 },
    { toC: 1140, climbCPerH: 62 },
    { toC: 1400, climbCPerH: 41 },
  ],
  holds: [],
  reduceFromC: 900,
  reduceMin: 30,
  saltingStartC: 1204.4,
  saltG: 22_700,
  chargeG: 365,
  chargeEveryS: 60,
  soakMin: 50,
  topC: 1245,
  unbrickC: 200,
  woodMoisture: 0.18,
  rhythmTimes: 1,
  unevenness: 1,
};

/** Minutes between stokes by heat: 20 early (robskiln.com, haaripottery.blogspot), 5 to 8 late (potters.org 116953). */
const RHYTHM: readonly (readonly [tempC: number, minutes: number])[] = [
  [0, 22],
  [150, 19],
  [300, 14],
  [600, 10],
  [900, 8.5],
  [1100, 7.5],
  [1400, 6.5],
];

/** Seconds from one stoke to the next at this heat. */
export function rhythmS(tempC: number): number {
  let [fromC, fromMin] = [0, 22];
  for (const [toC, toMin] of RHYTHM) {
    if (tempC <= toC && toC > fromC)
      return 60 * (fromMin + ((toMin - fromMin) * (tempC - fromC)) / (toC - fromC));
    [fromC, fromMin] = [toC, toMin];
  }
  return 60 * fromMin;
}

/**
 * Wood, kg/h, by the potter's experience: the kiln's heat at this temperature and climb, over the share of the flame's
 * heat that does not go up the flue with gas as hot as the kiln.
 */
export function usualWoodKgPerH(tempC: number, climbCPerH: number, saltKW: number): number {
  const heatKW = 0.066 * tempC + (0.45 + tempC / 3500) * Math.max(-20, climbCPerH) + saltKW;
  return (heatKW * 3600) / 14_000 / (1 - (tempC + 60) / 1680);
}

/** Thick pieces early, thin splits late: how long they give off gas, s. */
export function gassingS(tempC: number): number {
  return Math.max(140, 760 - 0.65 * tempC);
}

/** Thickness as the draw rings show it: enough at ring 3 (ronphilbeckpottery.com). */
export const RING_THICKNESS = ['thin', 'thin', 'good', 'good'] as const;
