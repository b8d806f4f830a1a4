/** Where each figure of the default plan comes from: shown beside it, so that nobody takes a custom for a law. */
import type { Plan } from './plan.ts';

const OWN = 'our own choice';
const CUSTOM = 'common practice, no source';

export const PLAN_SOURCES = {
  saltingStartC: CUSTOM,
  saltingStartCone:
    'published diaries differ: cone 6 (kimlpottery.com), as cone 9 begins to bend (clayart, 2018)',
  topC: OWN,
  firingCone: 'off at cone 10 (kimlpottery.com)',
  saltKg: CUSTOM,
  chargeG:
    'a quarter cup of granular salt is about 73 g by handbook bulk density: salts differ, so weigh one charge of your own',
  stallCPerH: `20 °F an hour, ${OWN}`,
  climbTargets:
    '50 °F an hour at the start (evafunderburgh.com), 100 °F an hour to 800 °F (cynthiacusick.blogspot), 100 to 150 °F an hour after that (whistlecreek.blogspot); the last, slow stretch is our own choice',
  climbLimits: OWN,
  coolingBands: `50 °C an hour through quartz inversion at 573 °C (ceramica wiki) and through cristobalite at 226 °C (julietmacleod.com, sources differ by 25 °C); the width of the bands is ${OWN}`,
  unbrickC: `about 400 °F after five days, ${CUSTOM}; others wait for 250 °F (songandbranch.blogspot) or 100 °C (sitawong.com)`,
} as const satisfies Partial<Record<keyof Plan, string>>;
