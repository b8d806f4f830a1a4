/** Which of the plan's limits hold at a heat: for the alerts, and for the bands that the page draws. */
import type { Plan } from './plan.ts';
import type { Stage } from './stages.ts';

type ClimbLimit = Plan['climbLimits'][number];
type CoolingBand = Plan['coolingBands'][number];

/** Of the climb limits that reach this far, the one that ends first, in whatever order the plan has them. °C. */
export function climbLimitAt(plan: Plan, tempC: number): ClimbLimit | null {
  let first: ClimbLimit | null = null;
  for (const limit of plan.climbLimits) {
    if (tempC < limit.toC && (first === null || limit.toC < first.toC)) first = limit;
  }
  return first;
}

/** The band of slow cooling that this heat lies in, °C. */
export function coolingBandAt(plan: Plan, tempC: number): CoolingBand | null {
  return plan.coolingBands.find(({ fromC, toC }) => tempC <= fromC && tempC >= toC) ?? null;
}

/**
 * The climbs that the plan allows at a stage and heat, °C/h; null on a side where it sets none, and null as a whole
 * where it says nothing of the climb.
 */
export function allowedClimb(
  plan: Plan,
  stage: Stage,
  tempC: number,
): { leastCPerH: number | null; mostCPerH: number | null } | null {
  if (stage === 'candling' || stage === 'hold')
    return { leastCPerH: null, mostCPerH: climbLimitAt(plan, tempC)?.maxCPerH ?? null };
  if (stage === 'climbing')
    return { leastCPerH: plan.stallCPerH, mostCPerH: climbLimitAt(plan, tempC)?.maxCPerH ?? null };
  const band = stage === 'cooling' ? coolingBandAt(plan, tempC) : null;
  return band && { leastCPerH: -band.maxCPerH, mostCPerH: null };
}

/** The climb that the plan means to have at a heat while the kiln is heated, °C/h; null where it names none. */
export function climbTargetAt(plan: Plan, stage: Stage, tempC: number): number | null {
  if (stage !== 'candling' && stage !== 'climbing') return null;
  let first: Plan['climbTargets'][number] | null = null;
  for (const target of plan.climbTargets) {
    if (tempC < target.toC && (first === null || target.toC < first.toC)) first = target;
  }
  return first?.climbCPerH ?? null;
}
