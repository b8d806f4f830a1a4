/**
 * How a closed kiln cools: three bodies, what is inside (ware, shelves, the brick's hot face), the wall behind it, and
 * the outer wall.
 *
 *     T' = -r·(T⁴ - A⁴)/(4·K³) - k·(T - W)
 *     W' = (k·(T - W) - g·(W - V))/m
 *     V' = (g·(W - V) - o·(V - A))/n
 *
 * T, W and V in kelvin, A the air outside, K the temperature that `r` is told for; m and n are the heat that a wall
 * holds as a part of what the inside holds. Early it goes by radiation, through flue and cracks, and by conduction into
 * the wall; late, when little radiates, the linear equations are a sum of exponentials, the slowest of which is the
 * whole kiln's. Stefan and Boltzmann's constant lies in `r`, which is fitted. Rates are per hour.
 */
import { kelvin } from '../heat-work/arrhenius.ts';

/** The radiation's share `r` is told for this heat: about the top of a stoneware firing. */
const TOLD_FOR_K = kelvin(1200);

/**
 * What is fitted, in this order: ln r, ln k, ln g, ln o, ln m, ln n; how much of the heat above the air's the wall and
 * the outer wall have at the start; the start, and the air, °C.
 */
export type CoolParams = readonly number[];
const [WALL, OUTER, START, AIR] = [6, 7, 8, 9] as const;

/** A course of cooling: hours since the start, °C, and how fast it changes, °C/h; in small steps. */
export interface Course {
  hours: number[];
  tempC: number[];
  climbCPerH: number[];
}

const SHORTEST_STEP_H = 0.1;
const STEP_PART = 0.07;
const LONGEST_STEP_H = 1.25;
/** A step times the quickest rate stays below this: Runge and Kutta's method is stable up to 2.78. */
const STABLE = 2;

/** From the start for `hours`, or until it is `untilC` and lower. Steps of Runge and Kutta's fourth order. */
export function coolCourse(params: CoolParams, hours: number, untilC = Number.NEGATIVE_INFINITY): Course {
  const [lnR = 0, lnK = 0, lnG = 0, lnO = 0, lnM = 0, lnN = 0] = params;
  const airK = kelvin(params[AIR] ?? 0);
  const radiation = Math.exp(lnR) / (4 * TOLD_FOR_K ** 3);
  const intoWall = Math.exp(lnK);
  const through = Math.exp(lnG);
  const outward = Math.exp(lnO);
  const wallHolds = Math.exp(lnM);
  const outerHolds = Math.exp(lnN);
  const quickest =
    Math.exp(lnR) * 2 +
    intoWall * (1 + 1 / wallHolds) +
    through * (1 / wallHolds + 1 / outerHolds) +
    outward / outerHolds;
  const longestH = Math.min(LONGEST_STEP_H, STABLE / quickest);
  const air4 = airK ** 4;
  let at = 0;
  let inside = kelvin(params[START] ?? 0);
  let wall = airK + (params[WALL] ?? 0) * (inside - airK);
  let outer = airK + (params[OUTER] ?? 0) * (inside - airK);
  let [toInside, toWall, toOuter] = [0, 0, 0];
  const climbs = (t: number, w: number, v: number) => {
    const squared = t * t;
    const intoKPerH = intoWall * (t - w);
    const throughKPerH = through * (w - v);
    toInside = -radiation * (squared * squared - air4) - intoKPerH;
    toWall = (intoKPerH - throughKPerH) / wallHolds;
    toOuter = (throughKPerH - outward * (v - airK)) / outerHolds;
  };
  const course: Course = { hours: [], tempC: [], climbCPerH: [] };
  for (;;) {
    climbs(inside, wall, outer);
    course.hours.push(at);
    course.tempC.push(inside - kelvin(0));
    course.climbCPerH.push(toInside);
    if (!(at < hours) || inside - kelvin(0) <= untilC) return course;
    const h = Math.min(longestH, Math.max(SHORTEST_STEP_H, STEP_PART * at));
    let [t, w, v] = [toInside, toWall, toOuter];
    climbs(inside + (h / 2) * toInside, wall + (h / 2) * toWall, outer + (h / 2) * toOuter);
    t += 2 * toInside;
    w += 2 * toWall;
    v += 2 * toOuter;
    climbs(inside + (h / 2) * toInside, wall + (h / 2) * toWall, outer + (h / 2) * toOuter);
    t += 2 * toInside;
    w += 2 * toWall;
    v += 2 * toOuter;
    climbs(inside + h * toInside, wall + h * toWall, outer + h * toOuter);
    inside += (h / 6) * (t + toInside);
    wall += (h / 6) * (w + toWall);
    outer += (h / 6) * (v + toOuter);
    at += h;
  }
}

/** Where in the course `hour` lies: the step before it. */
function stepBefore(values: readonly number[], isBeyond: (value: number) => boolean): number {
  let [low, high] = [0, values.length - 1];
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (isBeyond(values[middle] ?? 0)) high = middle;
    else low = middle;
  }
  return low;
}

/** Temperature in °C at an hour of the course, by a cubic through values and slopes; beyond the ends, the end's. */
export function courseTempC({ hours, tempC, climbCPerH }: Course, hour: number): number {
  const i = stepBefore(hours, (each) => each > hour);
  const from = hours[i] ?? 0;
  const width = (hours[i + 1] ?? from) - from;
  if (width <= 0 || hour <= from) return tempC[i] ?? Number.NaN;
  const x = Math.min((hour - from) / width, 1);
  const [a, b] = [tempC[i] ?? 0, tempC[i + 1] ?? 0];
  const [sa, sb] = [(climbCPerH[i] ?? 0) * width, (climbCPerH[i + 1] ?? 0) * width];
  const y = 1 - x;
  return a * y * y * (1 + 2 * x) + b * x * x * (3 - 2 * x) + sa * x * y * y - sb * x * x * y;
}

/** The hour at which a course that only falls is down at `tempC`; null if it does not get there. */
export function courseHour(course: Course, tempC: number): number | null {
  const { hours, tempC: temps } = course;
  const last = temps.at(-1);
  if (last === undefined || !(last <= tempC)) return null;
  if ((temps[0] ?? tempC) <= tempC) return 0;
  const i = stepBefore(temps, (each) => each <= tempC);
  let [low, high] = [hours[i] ?? 0, hours[i + 1] ?? 0];
  for (let round = 0; round < 30; round += 1) {
    const middle = (low + high) / 2;
    if (courseTempC(course, middle) > tempC) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
