/**
 * Least squares of a few parameters by Levenberg and Marquardt's method (Marquardt, SIAM J. Appl. Math. 11, 1963; form
 * from memory). The derivatives are taken by small steps. What is believed beforehand goes in as residuals of its own.
 */

const MOST_ROUNDS = 100;
const FIRST_DAMPING = 1e-3;
const MOST_DAMPING = 1e12;
/** A gain in the sum of squares smaller than this part of it ends the search, unless told. */
const SMALLEST_GAIN = 1e-14;
/** Step of a derivative, as a part of the parameter's size and at the least. */
const STEP_PART = 1e-7;
const LEAST_STEP = 1e-9;

export interface LeastSquares {
  params: number[];
  sumSquares: number;
  /** Inverse of JᵀJ: the covariance of the parameters where each residual has a standard deviation of 1. */
  covariance: number[][];
}

/**
 * The parameters, from `start` on, that make the sum of the squared residuals small. `residuals` must give the same
 * number of figures each time; a figure that is no number makes a try worse than any other. Null if it is so at the
 * start already, or if the parameters do not show in the residuals at all. `smallestGain`: what a round must gain, as a
 * part of the sum, for another to follow.
 */
export function leastSquares(
  residuals: (params: readonly number[]) => readonly number[],
  start: readonly number[],
  smallestGain = SMALLEST_GAIN,
): LeastSquares | null {
  let params = [...start];
  let now = residuals(params);
  let sumSquares = squaresOf(now);
  if (!Number.isFinite(sumSquares)) return null;
  let damping = FIRST_DAMPING;
  let normal = normalOf(residuals, params, now);
  for (let round = 0; round < MOST_ROUNDS && damping <= MOST_DAMPING; round += 1) {
    const change = solve(damped(normal.matrix, damping), normal.vector);
    const tried = change && params.map((param, i) => param - (change[i] ?? 0));
    const then = tried && residuals(tried);
    const sum = then ? squaresOf(then) : Number.NaN;
    if (tried && then && sum < sumSquares) {
      const gain = sumSquares - sum;
      [params, now, sumSquares] = [tried, then, sum];
      damping /= 10;
      normal = normalOf(residuals, params, now);
      if (gain <= smallestGain * sumSquares) break;
    } else {
      damping *= 10;
    }
  }
  const covariance = inverse(normal.matrix);
  return covariance && { params, sumSquares, covariance };
}

function squaresOf(residuals: readonly number[]): number {
  let sum = 0;
  for (const residual of residuals) sum += residual * residual;
  return sum;
}

/** JᵀJ and Jᵀr. */
function normalOf(
  residuals: (params: readonly number[]) => readonly number[],
  params: readonly number[],
  now: readonly number[],
): { matrix: number[][]; vector: number[] } {
  const columns = params.map((param, i) => {
    const step = Math.max(LEAST_STEP, STEP_PART * Math.abs(param));
    const moved = residuals(params.map((each, k) => (k === i ? each + step : each)));
    return now.map((residual, row) => ((moved[row] ?? 0) - residual) / step);
  });
  const dot = (a: readonly number[], b: readonly number[]) =>
    a.reduce((sum, value, i) => sum + value * (b[i] ?? 0), 0);
  return {
    matrix: columns.map((a) => columns.map((b) => dot(a, b))),
    vector: columns.map((column) => dot(column, now)),
  };
}

/** Marquardt's damping: each parameter in its own scale. */
function damped(matrix: readonly number[][], damping: number): number[][] {
  return matrix.map((row, i) => row.map((value, k) => (i === k ? value * (1 + damping) : value)));
}

/** The lower triangle L of LLᵀ = matrix (Cholesky); null where the matrix is not positive. */
function triangle(matrix: readonly number[][]): number[][] | null {
  const low: number[][] = [];
  for (let i = 0; i < matrix.length; i += 1) {
    const row: number[] = [];
    for (let k = 0; k <= i; k += 1) {
      let sum = matrix[i]?.[k] ?? 0;
      for (let m = 0; m < k; m += 1) sum -= (row[m] ?? 0) * ((k === i ? row[m] : low[k]?.[m]) ?? 0);
      if (k < i) row.push(sum / (low[k]?.[k] ?? Number.NaN));
      else if (sum > 0) row.push(Math.sqrt(sum));
      else return null;
    }
    low.push(row);
  }
  return low;
}

/** x of matrix·x = vector, for a symmetric positive matrix; null where it is none. */
function solve(matrix: readonly number[][], vector: readonly number[]): number[] | null {
  const low = triangle(matrix);
  if (!low) return null;
  const half: number[] = [];
  for (const [i, row] of low.entries()) {
    let sum = vector[i] ?? 0;
    for (let k = 0; k < i; k += 1) sum -= (row[k] ?? 0) * (half[k] ?? 0);
    half.push(sum / (row[i] ?? Number.NaN));
  }
  const x = half.map(() => 0);
  for (let i = low.length - 1; i >= 0; i -= 1) {
    let sum = half[i] ?? 0;
    for (let k = i + 1; k < low.length; k += 1) sum -= (low[k]?.[i] ?? 0) * (x[k] ?? 0);
    x[i] = sum / (low[i]?.[i] ?? Number.NaN);
  }
  return x;
}

function inverse(matrix: readonly number[][]): number[][] | null {
  const columns = matrix.map((_, i) =>
    solve(
      matrix,
      matrix.map((__, k) => (i === k ? 1 : 0)),
    ),
  );
  return columns.every((column) => column !== null) ? columns : null;
}
