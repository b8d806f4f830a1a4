/** When a kiln that stands may be called stalled: while it is driven, and not while it is held, salted or closed. */
import { parseCone } from '../protocol/cones.ts';
import { MINUTE_MS } from '../protocol/units.ts';
import { hotEnough, WINDOW_BELOW_C } from './salting-heat.ts';
import type { KilnView } from './view.ts';
import { nowInWords } from './words.ts';

/**
 * Where nothing is logged: after so long at salting heat the salt is in (about an hour: common practice, no source), and a
 * kiln that loses heat is being closed. Our own choice.
 */
const SALTED_MS = 45 * MINUTE_MS;
/** So long at salting heat opens the window. */
const REACHED_MS = 2 * MINUTE_MS;
/** By how much the place that is furthest must be beyond the firing cone. Our own choice: uneven kilns are driven on. */
const BEYOND_CONES = 1;
/** After a hold the fire takes its time to lift the kiln again: our own choice, about three stokes. */
const PICKS_UP_MS = 25 * MINUTE_MS;

export type WhyNoStallView = Pick<
  KilnView,
  'plan' | 'stage' | 'kiln' | 'hotForMs' | 'sinceHoldMs' | 'noCoupleLeft'
>;

type SaltingView = Pick<KilnView, 'plan' | 'kiln' | 'hotForMs'>;

/** Once salting heat was reached, the window stays open down to where it closes for cold. */
function windowIsOpen({ hotForMs, plan, kiln: { smoothC } }: SaltingView): boolean {
  return (
    hotForMs >= REACHED_MS &&
    smoothC !== null &&
    plan.saltingStartC !== null &&
    smoothC >= plan.saltingStartC - WINDOW_BELOW_C
  );
}

/** At salting heat and above a kiln is held, not driven. */
export function isAtSaltingHeat(view: SaltingView): boolean {
  return hotEnough(view) || windowIsOpen(view);
}

/** A place is a cone beyond the one that is fired to: nobody drives a kiln on from there. */
function isFired({ plan: { firingCone }, kiln: { mostConeValue } }: WhyNoStallView): boolean {
  const cone = parseCone(firingCone);
  return cone !== null && mostConeValue !== null && mostConeValue >= cone + BEYOND_CONES;
}

/** Why standing still is no stall just now, in words; null where it would be one. */
export function whyNoStall(view: WhyNoStallView): string | null {
  if (view.stage !== 'climbing' || view.noCoupleLeft) return nowInWords(view);
  if (isAtSaltingHeat(view)) return 'Salting heat is reached.';
  if (view.hotForMs >= SALTED_MS) return 'The kiln has had its time at salting heat.';
  if (isFired(view)) return 'A place is a cone beyond the firing cone.';
  if (view.sinceHoldMs < PICKS_UP_MS) return 'The hold is only just over.';
  return null;
}
