/**
 * A and Q of a cone from its end points at several heating rates, so that the greatest error in end-point temperature
 * is as small as can be.
 *
 * The chart gives the rate over the last 100 °C; the ramp is taken to have come at that rate all the way, since heat
 * work counts everything that went before. Taking the last 100 °C alone instead moves no residual by more than 0.03 °C.
 */
import { type ConeRate, kelvin, lnRampIntegral } from './arrhenius.ts';

/** A cone down at `endC` on a ramp of `rateCPerH`. */
export interface EndPoint {
  rateCPerH: number;
  endC: number;
}

/** No cone's Q/R lies outside these, in K (Q of 80 to 8000 kJ/mol). */
const LEAST_ACTIVATION_K = 1e4;
const MOST_ACTIVATION_K = 1e6;

/** No fit misses the chart by more than this, in °C. */
const MOST_ERROR_C = 25;

/** Zero of `f` between `low` and `high`, where its signs differ, by false position with the stale end's value halved. */
function findZero(f: (x: number) => number, low: number, high: number): number {
  let [a, b, fa, fb] = [low, high, f(low), f(high)];
  if (fa * fb > 0) throw new RangeError(`No zero between ${low} and ${high}.`);
  for (let step = 0; step < 200 && Math.abs(b - a) > 1e-12 * (Math.abs(a) + Math.abs(b)); step++) {
    const x = (a * fb - b * fa) / (fb - fa);
    const fx = f(x);
    if (fx === 0) return x;
    if (fx * fb < 0) [a, fa] = [b, fb];
    else fa /= 2;
    [b, fb] = [x, fx];
  }
  return b;
}

/** -ln A of a cone that is down at this end point, moved by `errorC`. */
function minusLnA(end: EndPoint, activationK: number, errorC: number): number {
  return lnRampIntegral(activationK, kelvin(end.endC + errorC)) - Math.log(end.rateCPerH);
}

/** Constants that meet two end points exactly, the second at a faster rate. Throws RangeError if no cone could. */
export function fitTwo(slow: EndPoint, fast: EndPoint, errorC = 0): ConeRate {
  const gap = (lnActivation: number) =>
    minusLnA(slow, Math.exp(lnActivation), errorC) - minusLnA(fast, Math.exp(lnActivation), errorC);
  const activationK = Math.exp(findZero(gap, Math.log(LEAST_ACTIVATION_K), Math.log(MOST_ACTIVATION_K)));
  return { activationK, lnAPerH: -minusLnA(slow, activationK, errorC) };
}

/**
 * Constants of least greatest error over three end points, slowest first. With two constants and three points the
 * errors are then equal in size and change sign at the middle one (Chebyshev's alternation).
 */
export function fitThree(slow: EndPoint, middle: EndPoint, fast: EndPoint): ConeRate {
  const mismatch = (errorC: number) => {
    const rate = fitTwo(slow, fast, errorC);
    return minusLnA(middle, rate.activationK, -errorC) + rate.lnAPerH;
  };
  return fitTwo(slow, fast, findZero(mismatch, -MOST_ERROR_C, MOST_ERROR_C));
}

/** A of least greatest error over two end points, for a cone whose Q is taken from another. */
export function fitWithActivation(slow: EndPoint, fast: EndPoint, activationK: number): ConeRate {
  const mismatch = (errorC: number) =>
    minusLnA(slow, activationK, errorC) - minusLnA(fast, activationK, -errorC);
  const errorC = findZero(mismatch, -MOST_ERROR_C, MOST_ERROR_C);
  return { activationK, lnAPerH: -minusLnA(slow, activationK, errorC) };
}
