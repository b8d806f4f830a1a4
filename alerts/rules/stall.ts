/**
 * Stall and falling: while climbing, the climb is below the plan's figure (or its negative) beyond what chance and the
 * sawtooth explain. Falling is a stall too: `stall` stays up beneath it.
 */
import { aboutKiln, MINUTE_MS, type Rule, verdictOf } from '../rule.ts';
import type { KilnView } from '../view.ts';
import { climbInWords } from '../words.ts';

/** The climb must lie below the figure by this many of its own standard deviations. */
const SURE_SD = 0.35;
/** To clear, it must lie above it by so many, and by this much. */
const CLEAR_SD = 0.25;
const CLEAR_BAND_C_PER_H = 5;

/** What usually causes a standing kiln at this heat: common practice, no source. */
function usualCauses(smoothC: number): string {
  if (smoothC < 600)
    return 'Wet or thick wood, or too little draught, is usual at this heat. Try drier, thinner wood.';
  if (smoothC < 1050)
    return 'Embers choking the firebox or too little air is usual. Let it burn down, rake, then small wood.';
  return 'Too much wood at a time is usual. Let it burn down, then smaller stokes; one change at a time.';
}

/** At salting heat and above a kiln is held, not driven: standing there is no stall. */
function mayStall(view: KilnView): boolean {
  if (view.stage !== 'climbing' || view.noCoupleLeft) return false;
  const { saltingStartC } = view.plan;
  return saltingStartC === null || view.kiln.smoothC === null || view.kiln.smoothC < saltingStartC;
}

function climbBelow(view: KilnView, limitCPerH: number): { on: boolean; off: boolean } {
  const { climbCPerH, climbSdCPerH } = view.kiln;
  if (!mayStall(view)) return { on: false, off: true };
  if (climbCPerH === null || climbSdCPerH === null) return { on: false, off: false };
  return {
    on: climbCPerH + SURE_SD * climbSdCPerH < limitCPerH,
    off: climbCPerH - CLEAR_SD * climbSdCPerH > limitCPerH + CLEAR_BAND_C_PER_H,
  };
}

export const stall: Rule = {
  name: 'stall',
  onDelayMs: 2 * MINUTE_MS,
  offDelayMs: 3 * MINUTE_MS,
  judge: (view) => {
    const { on, off } = climbBelow(view, view.plan.stallCPerH);
    return aboutKiln(verdictOf(on, off), () => {
      const { climbCPerH, smoothC } = view.kiln;
      if (climbCPerH === null || smoothC === null || off) return 'It climbs again.';
      return `The kiln stands still: ${climbInWords(climbCPerH)}. ${usualCauses(smoothC)}`;
    });
  },
};

export const falling: Rule = {
  name: 'falling',
  onDelayMs: 2 * MINUTE_MS,
  offDelayMs: 3 * MINUTE_MS,
  judge: (view) => {
    const { on, off } = climbBelow(view, -view.plan.stallCPerH);
    return aboutKiln(verdictOf(on, off), () => {
      const { climbCPerH, smoothC } = view.kiln;
      if (climbCPerH === null || smoothC === null || off) return 'It falls no more.';
      return `The kiln loses heat: ${climbInWords(climbCPerH)}. Is somebody stoking? ${usualCauses(smoothC)}`;
    });
  },
};
