/** Every cone of the chart with its rate equation, fitted when the program starts (some milliseconds). */
import { CONE_NAMES, type ConeName } from '../../../protocol/cones.ts';
import type { ConeRate } from './arrhenius.ts';
import { CHART_RATES_C_PER_H, type ConeChart, SELF_SUPPORTING_C } from './cone-chart.ts';
import { type EndPoint, fitThree, fitWithActivation } from './fit.ts';

/** The three cones with no end point at 15 °C/h are too few points for a Q of their own: they take this cone's. */
const LENDS_ITS_Q: ConeName = '019';

const [SLOW, MIDDLE, FAST] = CHART_RATES_C_PER_H;

/** The end points of a cone; `slow` is null for the three that have none at 15 °C/h. */
export interface ConeEndPoints {
  slow: EndPoint | null;
  middle: EndPoint;
  fast: EndPoint;
}

/** A cone's row of the chart as end points. */
export function coneEndPoints(name: ConeName, chart: ConeChart): ConeEndPoints {
  const [slowC, middleC, fastC] = chart[name];
  return {
    slow: slowC === null ? null : { rateCPerH: SLOW, endC: slowC },
    middle: { rateCPerH: MIDDLE, endC: middleC },
    fast: { rateCPerH: FAST, endC: fastC },
  };
}

/** The rate equation of least greatest error in end-point temperature. Throws RangeError if no cone could be so. */
export function fitCone(name: ConeName, chart: ConeChart): ConeRate {
  const { slow, middle, fast } = coneEndPoints(name, chart);
  if (slow !== null) return fitThree(slow, middle, fast);
  return fitWithActivation(middle, fast, fitCone(LENDS_ITS_Q, chart).activationK);
}

/** In the order of CONE_NAMES, the softest first. */
export const CONE_RATES: readonly { name: ConeName; rate: ConeRate }[] = CONE_NAMES.map((name) => ({
  name,
  rate: fitCone(name, SELF_SUPPORTING_C),
}));
