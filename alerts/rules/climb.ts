/** Too fast upward in the early firing, where steam and burning-out carbon break pots, and too fast downward in cooling. */
import { aboutKiln, MINUTE_MS, type Rule, verdictOf } from '../rule.ts';
import { climbInWords, heatInWords } from '../words.ts';

/** The limit is passed when the climb lies above it by this many of its standard deviations. */
const SURE_SD = 1;
/** It clears below this part of the limit. */
const CLEAR_PART = 0.9;

export const climbTooFast: Rule = {
  name: 'climb-too-fast',
  onDelayMs: 3 * MINUTE_MS,
  offDelayMs: 5 * MINUTE_MS,
  judge: (view) => {
    const { smoothC, climbCPerH, climbSdCPerH } = view.kiln;
    const heating = view.stage === 'candling' || view.stage === 'climbing' || view.stage === 'hold';
    if (!heating || view.noCoupleLeft) return aboutKiln('off', () => 'Not climbing any more.');
    if (smoothC === null || climbCPerH === null || climbSdCPerH === null)
      return aboutKiln('between', () => '');
    const limit = view.plan.climbLimits.find((each) => smoothC < each.toC);
    if (!limit) return aboutKiln('off', () => 'Past the heat at which a fast climb breaks pots.');
    const on = climbCPerH - SURE_SD * climbSdCPerH > limit.maxCPerH;
    const off = climbCPerH < CLEAR_PART * limit.maxCPerH;
    return aboutKiln(verdictOf(on, off), () =>
      off
        ? 'The climb is within its limit again.'
        : `Climbing ${climbInWords(climbCPerH)}; up to ${heatInWords(limit.toC)} no more than ${climbInWords(limit.maxCPerH)}. Raw ware can burst: stoke less.`,
    );
  },
};

export const coolingTooFast: Rule = {
  name: 'cooling-too-fast',
  onDelayMs: 3 * MINUTE_MS,
  offDelayMs: 10 * MINUTE_MS,
  judge: (view) => {
    const { smoothC, climbCPerH, climbSdCPerH } = view.kiln;
    if (view.stage !== 'cooling' || view.noCoupleLeft) return aboutKiln('off', () => 'Not cooling any more.');
    if (smoothC === null || climbCPerH === null || climbSdCPerH === null)
      return aboutKiln('between', () => '');
    const band = view.plan.coolingBands.find((each) => smoothC <= each.fromC && smoothC >= each.toC);
    if (!band) return aboutKiln('off', () => 'Past the band in which fast cooling cracks pots.');
    const cooling = -climbCPerH;
    const on = cooling - SURE_SD * climbSdCPerH > band.maxCPerH;
    const off = cooling < CLEAR_PART * band.maxCPerH;
    return aboutKiln(verdictOf(on, off), () =>
      off
        ? 'Cooling is within its limit again.'
        : `Cooling ${climbInWords(cooling)}; from ${heatInWords(band.fromC)} to ${heatInWords(band.toC)} no more than ${climbInWords(band.maxCPerH)}. Close air leaks.`,
    );
  },
};
