/**
 * A cone's rate equation: it softens at A·exp(-Q/RT) an hour, and is down when the integral of that, its heat work W,
 * is 1. Here with Q/R in kelvin and A in 1/h.
 */

/** One cone's constants: ln A with A in 1/h, and Q/R in K. */
export interface ConeRate {
  lnAPerH: number;
  activationK: number;
}

const ICE_K = 273.15;

/** °C to kelvin. */
export function kelvin(tempC: number): number {
  return tempC + ICE_K;
}

/** Depth of the continued fraction; from Q/RT = 5 up its value is exact to rounding. */
const FRACTION_DEPTH = 20;

/**
 * ln of the integral of exp(-Q/RT') dT' from absolute zero up to `tempK`, in ln K. By substitution it is T·E2(Q/RT),
 * E2 being the exponential integral, here by its continued fraction (Abramowitz & Stegun 5.1.22). For Q/RT of 5 and
 * up; a cone at its end point has 25 to 120.
 */
export function lnRampIntegral(activationK: number, tempK: number): number {
  const x = activationK / tempK;
  let fraction = x;
  for (let k = FRACTION_DEPTH; k >= 1; k--) fraction = x + (1 + k) / (1 + k / fraction);
  return Math.log(tempK) - x - Math.log(fraction);
}

/**
 * Temperature in °C at which a cone is down (W = 1) on a ramp of `rateCPerH` all the way from cold. Found by Newton
 * steps on ln W, which rises with temperature and is nearly straight.
 */
export function endPointC(rate: ConeRate, rateCPerH: number): number {
  let tempK = rate.activationK / (rate.lnAPerH + 3);
  for (let step = 0; step < 50; step++) {
    const lnIntegral = lnRampIntegral(rate.activationK, tempK);
    const lnWork = rate.lnAPerH - Math.log(rateCPerH) + lnIntegral;
    const slopePerK = Math.exp(-rate.activationK / tempK - lnIntegral);
    const changeK = lnWork / slopePerK;
    tempK -= changeK;
    if (Math.abs(changeK) < 1e-9) break;
  }
  return tempK - ICE_K;
}
