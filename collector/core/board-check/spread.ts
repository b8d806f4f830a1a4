/** How much figures spread, and how a board's clock runs: the statistics of the check before lighting. */

/** The value below which the part `share` (0 to 1) of all lies, between two values by proportion; null of none. */
export function quantile(values: readonly number[], share: number): number | null {
  const sorted = [...values].sort((a, b) => a - b);
  const place = (sorted.length - 1) * share;
  const low = sorted[Math.floor(place)];
  const high = sorted[Math.ceil(place)];
  return low === undefined || high === undefined ? null : low + (high - low) * (place - Math.floor(place));
}

export function median(values: readonly number[]): number | null {
  return quantile(values, 0.5);
}

export interface Point {
  x: number;
  y: number;
}

const LEAST_FOR_NOISE = 6;

/**
 * Standard deviation of the noise of one value, from how far each lies from the line through its two neighbours: a
 * climb, however steep, adds nothing. Null of fewer than 6 points. `x` must grow. Gasser, Sroka & Jennen-Steinmetz,
 * Residual variance and residual pattern in nonlinear regression, Biometrika 73 (1986); cited from memory.
 */
export function noiseAroundLine(points: readonly Point[]): number | null {
  if (points.length < LEAST_FOR_NOISE) return null;
  let sum = 0;
  for (let i = 1; i < points.length - 1; i += 1) {
    const before = points[i - 1];
    const here = points[i];
    const after = points[i + 1];
    if (!before || !here || !after) continue;
    const towardsAfter = (here.x - before.x) / (after.x - before.x);
    const off = before.y * (1 - towardsAfter) + after.y * towardsAfter - here.y;
    sum += off ** 2 / ((1 - towardsAfter) ** 2 + towardsAfter ** 2 + 1);
  }
  return Math.sqrt(sum / (points.length - 2));
}

const LEAST_FOR_SLOPE = 8;

/** Slope of the straight line of least squares and its standard error (any textbook of statistics); null of fewer than 8 points. */
export function slopeOf(points: readonly Point[]): { slope: number; sd: number } | null {
  const n = points.length;
  if (n < LEAST_FOR_SLOPE) return null;
  const meanX = points.reduce((sum, { x }) => sum + x, 0) / n;
  const meanY = points.reduce((sum, { y }) => sum + y, 0) / n;
  let sxx = 0;
  let sxy = 0;
  for (const { x, y } of points) {
    sxx += (x - meanX) ** 2;
    sxy += (x - meanX) * (y - meanY);
  }
  if (sxx === 0) return null;
  const slope = sxy / sxx;
  const residue = points.reduce((sum, { x, y }) => sum + (y - meanY - slope * (x - meanX)) ** 2, 0);
  return { slope, sd: Math.sqrt(residue / (n - 2) / sxx) };
}
