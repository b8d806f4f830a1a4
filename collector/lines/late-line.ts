/**
 * The line below points that are late but never early: `y = height + slope * (x - meanX)`, each point above it by an
 * exponential delay. All lines below all points can be the true one, each with the likelihood exp(-sum of the points'
 * distances to it / delay). The likeliest is the edge of the lower convex hull above the mean of x (Moon, Skelly &
 * Towsley, Estimation and removal of clock skew from network delay measurements, INFOCOM 1999; cited from memory). Far
 * from the points it errs by half as much again as the mean of all these lines, the estimate with the least square error,
 * which is what is given here: with every slope taken for as likely before, it has a closed form (Bayes; our own working).
 */

/** Lower convex hull, `x` growing. */
export interface Hull {
  x: number[];
  y: number[];
}

export interface LateLine {
  slope: number;
  /** At the mean of x. */
  height: number;
}

/** Adds a point to the right of all others. */
export function addToHull({ x, y }: Hull, newX: number, newY: number): void {
  for (let n = x.length; n >= 2; n -= 1) {
    const x0 = x[n - 2] ?? 0;
    const y0 = y[n - 2] ?? 0;
    const turn = ((x[n - 1] ?? 0) - x0) * (newY - y0) - ((y[n - 1] ?? 0) - y0) * (newX - x0);
    if (turn > 0) break;
    x.pop();
    y.pop();
  }
  x.push(newX);
  y.push(newY);
}

/** How high a line of this slope can lie, at x = 0. */
export function highestBelow({ x, y }: Hull, slope: number): number {
  let height = Number.POSITIVE_INFINITY;
  for (let i = 0; i < x.length; i += 1) height = Math.min(height, (y[i] ?? 0) - (x[i] ?? 0) * slope);
  return height;
}

/** The line with the least sum of distances to all points, whose mean is at `meanX`. The hull has two points or more. */
export function likeliestLine({ x, y }: Hull, meanX: number): LateLine {
  let right = 1;
  while (right < x.length - 1 && (x[right] ?? 0) < meanX) right += 1;
  const x1 = x[right] ?? 0;
  const y1 = y[right] ?? 0;
  const slope = (y1 - (y[right - 1] ?? 0)) / (x1 - (x[right - 1] ?? 0));
  return { slope, height: y1 + slope * (meanX - x1) };
}

/**
 * The mean of all lines below the hull of `points` points, whose mean is at `meanX` and whose mean delay is `delay` (of
 * the unit of y), with a slope between `least` and `most`. If the likeliest has none such, it is the nearest such slope.
 *
 * A line of a given slope that is as high as can be leans on one corner of the hull. The likelihood of the slopes that
 * lean on the same corner is an exponential of the slope; so all comes down to the integral and the mean of an
 * exponential, once for each corner.
 */
export function meanLine(
  hull: Hull,
  { points, meanX, delay }: { points: number; meanX: number; delay: number },
  { least, most }: { least: number; most: number },
): LateLine {
  const { x, y } = hull;
  const weight = points / delay;
  const likeliest = likeliestLine(hull, meanX);
  if (likeliest.slope <= least || likeliest.slope >= most) {
    const slope = likeliest.slope <= least ? least : most;
    return { slope, height: highestBelow(hull, slope) + slope * meanX };
  }
  let sum = 0;
  let sumSlope = 0;
  let sumHeight = 0;
  let from = least;
  for (let i = 0; i < x.length && from < most; i += 1) {
    const cornerX = x[i] ?? 0;
    const cornerY = y[i] ?? 0;
    const nextX = x[i + 1];
    const edge = nextX === undefined ? most : ((y[i + 1] ?? 0) - cornerY) / (nextX - cornerX);
    const to = Math.min(most, edge);
    if (to <= from) continue;
    const lever = meanX - cornerX;
    const atFrom = weight * (cornerY + lever * from - likeliest.height);
    const bend = weight * lever * (to - from);
    const mass = (to - from) * Math.exp(Math.max(atFrom, atFrom + bend)) * meanToPeak(Math.abs(bend));
    const slope = from + (to - from) * placeOfMean(bend);
    sum += mass;
    sumSlope += mass * slope;
    sumHeight += mass * (cornerY + lever * slope);
    from = to;
  }
  return { slope: sumSlope / sum, height: sumHeight / sum - 1 / weight };
}

/** The mean of exp(-bend * t) for t from 0 to 1: its share of the peak. */
function meanToPeak(bend: number): number {
  return bend === 0 ? 1 : -Math.expm1(-bend) / bend;
}

/** The mean of t from 0 to 1, weighted with exp(bend * t). */
function placeOfMean(bend: number): number {
  if (Math.abs(bend) < 1e-3) return 1 / 2 + bend / 12;
  return -1 / Math.expm1(-bend) - 1 / bend;
}
