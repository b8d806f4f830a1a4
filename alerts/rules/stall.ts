/**
 * Stall and falling: while climbing, the climb is below the plan's figure (or its negative) beyond what chance and the
 * sawtooth explain. Falling is a stall too: `stall` stays up beneath it.
 */
import { MINUTE_MS } from '../../protocol/units.ts';
import { aboutKiln, type Finding, notKnown, type Rule, verdictOf } from '../rule.ts';
import { hotEnough, WINDOW_BELOW_C } from '../salting-heat.ts';
import type { KilnView } from '../view.ts';
import { climbInWords, nowInWords } from '../words.ts';

/** The climb must lie below the figure by this many of its own standard deviations. */
const SURE_SD = 0.35;
/** To clear, it must lie above it by so many, and by this much. */
const CLEAR_SD = 0.25;
const CLEAR_BAND_C_PER_H = 5;

/**
 * Where nothing is logged: after so long at salting heat the salt is in (about an hour: common practice, no source), and a
 * kiln that loses heat is being closed. Our own choice.
 */
const SALTED_MS = 45 * MINUTE_MS;

/** So long at salting heat opens the window. */
const REACHED_MS = 2 * MINUTE_MS;
/** After a hold the fire takes its time to lift the kiln again: our own choice, about three stokes. */
const PICKS_UP_MS = 25 * MINUTE_MS;

/** What usually causes a standing kiln at this heat, and what to try: common practice, no source. */
function usualCauses(smoothC: number): string {
  if (smoothC < 600)
    return 'Usual at this heat: wet or thick wood, or too little draught. Try drier, thinner wood.';
  if (smoothC < 1050)
    return 'Usual at this heat: embers choke the firebox, or too little air. Let it burn down, rake, then small wood.';
  return 'Usual at this heat: too much wood at once. Let it burn down, then smaller stokes, one change at a time.';
}

/** Once salting heat was reached, the window stays open down to where it closes for cold. */
function windowIsOpen({ hotForMs, plan }: KilnView, smoothC: number): boolean {
  return (
    hotForMs >= REACHED_MS && plan.saltingStartC !== null && smoothC >= plan.saltingStartC - WINDOW_BELOW_C
  );
}

/** At salting heat and above a kiln is held, not driven: standing there is no stall. */
function judgeClimb(
  view: KilnView,
  limitCPerH: number,
  said: { raised: (climbCPerH: number, smoothC: number) => string; cleared: string },
): Finding[] {
  const { smoothC, climbCPerH, climbSdCPerH } = view.kiln;
  if (view.stage !== 'climbing' || view.noCoupleLeft) return aboutKiln('off', () => nowInWords(view));
  if (smoothC === null || climbCPerH === null || climbSdCPerH === null) return notKnown();
  if (hotEnough(view) || windowIsOpen(view, smoothC))
    return aboutKiln('off', () => 'Salting heat is reached.');
  if (view.hotForMs >= SALTED_MS) return aboutKiln('off', () => 'The kiln has had its time at salting heat.');
  if (view.sinceHoldMs < PICKS_UP_MS) return aboutKiln('off', () => 'The hold is only just over.');
  const on = climbCPerH + SURE_SD * climbSdCPerH < limitCPerH;
  const off = climbCPerH - CLEAR_SD * climbSdCPerH > limitCPerH + CLEAR_BAND_C_PER_H;
  return aboutKiln(verdictOf(on, off), () => (on ? said.raised(climbCPerH, smoothC) : said.cleared));
}

export const stall: Rule = {
  name: 'stall',
  onDelayMs: 2 * MINUTE_MS,
  offDelayMs: 3 * MINUTE_MS,
  judge: (view) => {
    const { stallCPerH } = view.plan;
    return judgeClimb(view, stallCPerH, {
      raised: (climbCPerH, smoothC) =>
        `The kiln ${climbCPerH < -stallCPerH ? 'does not climb' : 'stands still'}: ${climbInWords(climbCPerH)}. ${usualCauses(smoothC)}`,
      cleared: 'It climbs again.',
    });
  },
};

export const falling: Rule = {
  name: 'falling',
  onDelayMs: 2 * MINUTE_MS,
  offDelayMs: 3 * MINUTE_MS,
  judge: (view) =>
    judgeClimb(view, -view.plan.stallCPerH, {
      raised: (climbCPerH) =>
        `The kiln loses heat: ${climbInWords(climbCPerH)}. Is somebody stoking? If it was closed on purpose, log the clam-up.`,
      cleared: 'It falls no more.',
    }),
};
