/** How long until a cone, if the temperature goes a given way. */
import { CONE_NAMES, parseCone } from '../../../protocol/cones.ts';
import { HOUR_MS } from '../../../protocol/units.ts';
import { type ConeRate, kelvin } from './arrhenius.ts';
import { CONE_RATES } from './cone-rates.ts';
import { coneValue, type HeatWork } from './heat-work.ts';

/** Where the temperature goes from now on: °C at even steps, the first of them now, straight in between. */
export interface WayAhead {
  stepMs: number;
  tempC: readonly number[];
  /** The place is hotter than that by so much, °C. */
  besideC?: number;
}

/** A cone of the chart, the heat work that it has by now, and the rate at which it gains more. */
interface Nearing extends ConeRate {
  work: number;
  ratePerH: number;
}

const CLOSE_MS = 1000;
const VALUES = CONE_NAMES.map((name) => parseCone(name) ?? Number.NaN);

/** The chart's cones at or below and at or above `cone`, and how far it is from the first to the second. */
function around(cone: number): { below: number; above: number; part: number } | null {
  const below = VALUES.findLastIndex((value) => value <= cone);
  const [low, high] = [VALUES[below], VALUES[below + 1]];
  if (low === undefined) return null;
  if (low === cone) return { below, above: below, part: 0 };
  if (high === undefined) return null;
  // From 01 to 1 is one step.
  return { below, above: below + 1, part: (cone - low) / (low === -1 ? 1 : high - low) };
}

/** Slower than this adds nothing in the days that anybody looks ahead, ln of 1/h. */
const LN_NEGLIGIBLE_PER_H = Math.log(1e-7);

function ratePerH({ lnAPerH, activationK }: ConeRate, tempC: number): number {
  const lnRate = lnAPerH - activationK / Math.max(kelvin(tempC), 1);
  return lnRate < LN_NEGLIGIBLE_PER_H ? 0 : Math.exp(lnRate);
}

/**
 * Heat work of a straight piece from `cone.ratePerH` at its beginning to `toRate` at its end, by Simpson's rule: no piece
 * is so long that its rate grows much.
 */
function pieceWork(cone: Nearing, toRate: number, middleC: number, ms: number): number {
  if (toRate === 0 && cone.ratePerH === 0) return 0;
  return ((cone.ratePerH + 4 * ratePerH(cone, middleC) + toRate) / 6) * (ms / HOUR_MS);
}

/**
 * Milliseconds until heat work reaches `cone` (on the scale of `parseCone`) along the way ahead, to the second; 0 if it
 * is reached already, null if it is not by the way's end. `shiftPerK` as in `coneValue`. `state` is left as it is.
 */
export function timeToCone(state: HeatWork, cone: number, way: WayAhead, shiftPerK = 0): number | null {
  const now = coneValue(state, shiftPerK);
  if (now !== null && now >= cone) return 0;
  const place = around(cone);
  if (!place) return null;
  const { stepMs, tempC, besideC = 0 } = way;
  const nowC = (tempC[0] ?? Number.NaN) + besideC;
  const nearing = (i: number): Nearing | null => {
    const rate = CONE_RATES[i]?.rate;
    if (!rate) return null;
    const { lnAPerH, activationK } = rate;
    const work = (state.work[i] ?? 0) * Math.exp(shiftPerK * activationK);
    return { lnAPerH, activationK, work, ratePerH: ratePerH(rate, nowC) };
  };
  const [below, above] = [nearing(place.below), nearing(place.above)];
  if (!below || !above) return null;
  const { part } = place;
  const isReached = (a: number, b: number) =>
    a >= 1 && (part === 0 || (1 - part) * Math.log(a) + part * Math.log(b) >= 0);
  for (let i = 0; i + 1 < tempC.length; i += 1) {
    const fromC = (tempC[i] ?? Number.NaN) + besideC;
    const toC = (tempC[i + 1] ?? Number.NaN) + besideC;
    const middleC = (fromC + toC) / 2;
    const rate = ratePerH(below, toC);
    const rateAbove = part === 0 ? 0 : ratePerH(above, toC);
    const gained = below.work + pieceWork(below, rate, middleC, stepMs);
    const gainedAbove = part === 0 ? 0 : above.work + pieceWork(above, rateAbove, middleC, stepMs);
    if (!isReached(gained, gainedAbove)) {
      below.work = gained;
      below.ratePerH = rate;
      above.work = gainedAbove;
      above.ratePerH = rateAbove;
      continue;
    }
    const after = (ms: number) => {
      const atC = fromC + ((toC - fromC) * ms) / stepMs;
      const by = (each: Nearing) => each.work + pieceWork(each, ratePerH(each, atC), (fromC + atC) / 2, ms);
      return [by(below), part === 0 ? 0 : by(above)] as const;
    };
    let [low, high] = [0, stepMs];
    while (high - low > CLOSE_MS) {
      const middle = (low + high) / 2;
      if (isReached(...after(middle))) high = middle;
      else low = middle;
    }
    return i * stepMs + high;
  }
  return null;
}
