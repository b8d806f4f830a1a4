/** Too fast upward in the early firing, where steam and burning-out carbon break pots, and too fast downward in cooling. */
import { climbLimitAt, coolingBandAt } from '../../protocol/plan-limits.ts';
import { MINUTE_MS } from '../../protocol/units.ts';
import { aboutKiln, notKnown, type Rule, verdictOf } from '../rule.ts';
import type { KilnView } from '../view.ts';
import { heatInWords, nowInWords, rateInWords } from '../words.ts';

/**
 * The limit is passed when the climb lies above it by this many of its standard deviations, some 7 °C/h. That deviation
 * allows for a full stoke sawtooth, of which there is little in candling and none in a closed kiln: a whole one would let
 * raw ware be candled at almost twice the limit unsaid.
 */
const SURE_SD = 0.35;
/** It clears below this part of the limit. */
const CLEAR_PART = 0.9;

/** Whether it surely climbs faster than the plan allows at its heat; false where nothing is known, or nothing is limited. */
export function climbsTooFast({ plan, kiln: { smoothC, climbCPerH, climbSdCPerH } }: KilnView): boolean {
  if (smoothC === null || climbCPerH === null || climbSdCPerH === null) return false;
  const limit = climbLimitAt(plan, smoothC);
  return limit !== null && climbCPerH - SURE_SD * climbSdCPerH > limit.maxCPerH;
}

export const climbTooFast: Rule = {
  name: 'climb-too-fast',
  onDelayMs: 3 * MINUTE_MS,
  offDelayMs: 5 * MINUTE_MS,
  judge: (view) => {
    const { smoothC, climbCPerH, climbSdCPerH } = view.kiln;
    const heating = view.stage === 'candling' || view.stage === 'climbing' || view.stage === 'hold';
    if (!heating || view.noCoupleLeft) return aboutKiln('off', () => nowInWords(view));
    if (smoothC === null || climbCPerH === null || climbSdCPerH === null) return notKnown();
    const limit = climbLimitAt(view.plan, smoothC);
    if (!limit) return aboutKiln('off', () => 'Past the heat at which a fast climb breaks pots.');
    const on = climbsTooFast(view);
    const off = climbCPerH < CLEAR_PART * limit.maxCPerH;
    return aboutKiln(verdictOf(on, off), () =>
      on
        ? `Climbing ${rateInWords(climbCPerH)}. Below ${heatInWords(limit.toC)} keep under ${rateInWords(limit.maxCPerH)}: raw ware can burst. Stoke less.`
        : 'The climb is within its limit again.',
    );
  },
};

export const coolingTooFast: Rule = {
  name: 'cooling-too-fast',
  onDelayMs: 3 * MINUTE_MS,
  offDelayMs: 10 * MINUTE_MS,
  judge: (view) => {
    const { smoothC, climbCPerH, climbSdCPerH } = view.kiln;
    if (view.stage !== 'cooling' || view.noCoupleLeft) return aboutKiln('off', () => nowInWords(view));
    if (smoothC === null || climbCPerH === null || climbSdCPerH === null) return notKnown();
    const band = coolingBandAt(view.plan, smoothC);
    if (!band) return aboutKiln('off', () => 'Past the heat at which fast cooling cracks pots.');
    const cooling = -climbCPerH;
    const on = cooling - SURE_SD * climbSdCPerH > band.maxCPerH;
    const off = cooling < CLEAR_PART * band.maxCPerH;
    return aboutKiln(verdictOf(on, off), () =>
      on
        ? `Cooling ${rateInWords(cooling)}. From ${heatInWords(band.fromC)} to ${heatInWords(band.toC)} keep under ${rateInWords(band.maxCPerH)}: pots can crack. Close the damper and stop air leaks.`
        : 'Cooling is within its limit again.',
    );
  },
};
