/**
 * Spearman's rank correlation, with its chance level: exact by all orders up to nine firings, ties and all; above that by
 * the Edgeworth series of D. J. Best and D. E. Roberts, algorithm AS 89, Applied Statistics 24 (1975), which knows no ties
 * (from memory; held against a published table and all orders in `tests/core/ranks.test.ts`).
 */

/** As many as all orders can be looked at for. */
const ALL_ORDERS_TO = 9;
/** Sums of ranks are multiples of a quarter: what is nearer is the same. */
const SAME = 1e-6;

/** 1 for the least; those that are equal share the mean of their places. */
export function averageRanks(values: readonly number[]): number[] {
  const order = values.map((_, index) => index).sort((a, b) => (values[a] ?? 0) - (values[b] ?? 0));
  const ranks = new Array<number>(values.length).fill(0);
  for (let from = 0; from < order.length; ) {
    let to = from;
    while (to + 1 < order.length && values[order[to + 1] ?? 0] === values[order[from] ?? 0]) to += 1;
    for (let place = from; place <= to; place += 1) ranks[order[place] ?? 0] = (from + to) / 2 + 1;
    from = to + 1;
  }
  return ranks;
}

export interface RankCorrelation {
  /** −1 … 1. */
  rho: number;
  /** The chance that orders which have nothing to do with each other are so far from 0 or farther, both ways. */
  p: number;
}

/** Of two columns of equal length; null where there are fewer than two rows, or one column holds one value only. */
export function rankCorrelation(one: readonly number[], other: readonly number[]): RankCorrelation | null {
  const n = one.length;
  const [a, b] = [averageRanks(one), averageRanks(other)];
  const mean = (n + 1) / 2;
  const [spreadA, spreadB] = [a, b].map((ranks) => ranks.reduce((sum, rank) => sum + (rank - mean) ** 2, 0));
  if (n < 2 || !spreadA || !spreadB) return null;
  const together = a.reduce((sum, rank, row) => sum + (rank - mean) * ((b[row] ?? 0) - mean), 0);
  const rho = Math.max(-1, Math.min(1, together / Math.sqrt(spreadA * spreadB)));
  const p = n <= ALL_ORDERS_TO ? inAllOrders(a, b, together) : beyond(n, Math.abs(rho));
  return { rho, p };
}

/** The part of all orders of `b` that lies as far from none as this one, or farther. */
function inAllOrders(a: readonly number[], b: readonly number[], together: number): number {
  const n = a.length;
  const mean = (n + 1) / 2;
  const left = a.map((rank) => rank - mean);
  const right = b.map((rank) => rank - mean);
  const wanted = Math.abs(together) - SAME;
  let all = 0;
  let far = 0;
  const place = (row: number, sum: number) => {
    if (row === n) {
      all += 1;
      if (Math.abs(sum) >= wanted) far += 1;
      return;
    }
    const weight = left[row] ?? 0;
    for (let other = row; other < n; other += 1) {
      const taken = right[other] ?? 0;
      right[other] = right[row] ?? 0;
      right[row] = taken;
      place(row + 1, sum + weight * taken);
      right[row] = right[other] ?? 0;
      right[other] = taken;
    }
  };
  place(0, 0);
  return far / all;
}

/** Both tails beyond `rho` (0 … 1) for `n` rows without ties, by the series. */
function beyond(n: number, rho: number): number {
  const b = 1 / n;
  // The sum of squared rank differences on the far side, made continuous.
  const sum = ((n ** 3 - n) / 6) * (1 + rho);
  const x = ((6 * (sum - 1) * b) / (n * n - 1) - 1) * Math.sqrt(n - 1);
  const y = x * x;
  const series =
    x *
    b *
    (0.2274 +
      b * (0.2531 + 0.1745 * b) +
      y *
        (-0.0758 +
          b * (0.1033 + 0.3932 * b) -
          y * b * (0.0879 + 0.0151 * b - y * (0.0072 - 0.0831 * b + y * b * (0.0131 - 4.6e-4 * y)))));
  // Far out the series falls below what a full agreement has.
  return Math.min(1, Math.max(2 / orders(n), 2 * (series / Math.exp(y / 2) + normalTail(x))));
}

/** n!, as far as it matters. */
export function orders(n: number): number {
  return n < 2 ? 1 : n * orders(n - 1);
}

/** The normal distribution beyond `x`, within 7.5e-8: Abramowitz and Stegun, 26.2.17. */
function normalTail(x: number): number {
  const t = 1 / (1 + 0.2316419 * Math.abs(x));
  const poly =
    t * (0.31938153 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
  const tail = (Math.exp((-x * x) / 2) / Math.sqrt(2 * Math.PI)) * poly;
  return x >= 0 ? tail : 1 - tail;
}

/**
 * The smallest |rho| of `n` rows without ties whose chance, both ways, is at most `alpha`; null where not even a full
 * agreement is beyond chance.
 */
export function leastBeyondChance(n: number, alpha: number): number | null {
  const whole = n ** 3 - n;
  // Squared rank differences come to an even sum.
  const steps = Math.floor(whole / 6 / 2);
  const chance = n <= ALL_ORDERS_TO ? exactChances(n) : (rho: number) => beyond(n, rho);
  let least: number | null = null;
  let [low, high] = [0, steps];
  while (low <= high) {
    const middle = (low + high) >> 1;
    const rho = 1 - (12 * middle) / whole;
    if (rho >= 0 && chance(rho) <= alpha) {
      least = rho;
      low = middle + 1;
    } else {
      high = middle - 1;
    }
  }
  return least;
}

function exactChances(n: number): (rho: number) => number {
  const ranks = Array.from({ length: n }, (_, index) => index + 1);
  return (rho) => inAllOrders(ranks, ranks, (rho * (n ** 3 - n)) / 12);
}

/** Holm's step-down: which of many tests made at once stay beyond chance at `alpha` for all of them together. */
export function holm(ps: readonly number[], alpha: number): boolean[] {
  const order = ps.map((_, index) => index).sort((a, b) => (ps[a] ?? 0) - (ps[b] ?? 0));
  const kept = new Array<boolean>(ps.length).fill(false);
  for (const [place, index] of order.entries()) {
    if ((ps[index] ?? 1) > alpha / (ps.length - place)) break;
    kept[index] = true;
  }
  return kept;
}
