/**
 * Stall and falling: while climbing, the climb is below the plan's figure (or its negative) beyond what chance and the
 * sawtooth explain, by the sequential test of `collector/core/stillness.ts`. Falling is a stall too: `stall` stays up
 * beneath it.
 */
import { MINUTE_MS } from '../../protocol/units.ts';
import { whyNoStall } from '../may-stall.ts';
import { aboutKiln, type Finding, notKnown, type Rule, verdictOf } from '../rule.ts';
import type { KilnView } from '../view.ts';
import { climbInWords, spanInWords } from '../words.ts';

/** To clear, the readings must show a climb this much above the figure. */
export const CLEAR_BAND_C_PER_H = 11;
/**
 * And for so long, which is about two stokes: a low that comes back sooner is the same stall, and is not told twice.
 * Measured by the score.
 */
const OVER_MS = 15 * MINUTE_MS;
/** Climbing for so long, a stall looks over, and the test for it begins anew (`collector/core/stillness.ts`). */
export const STALL_EASES_MS = 5 * MINUTE_MS;
/** Where it may be no stall any more, for another stage or a hold, this is enough. */
const NO_STALL_MS = 3 * MINUTE_MS;
/** The test is slow to begin: the kiln has stood for so much longer than it says. Measured by the score. */
const TEST_LAGS_MS = 13 * MINUTE_MS;
/** What the readings alone show is so many times less sure than the climb itself. Measured by the score. */
const SHOWN_SD_TIMES = 1.5;
/** No stoke for this long, and for so many of the usual intervals: nobody is stoking. Our own choice. */
const UNSTOKED_MS = 20 * MINUTE_MS;
const UNSTOKED_INTERVALS = 2;
/** A damper that was moved so lately may be the cause: two or three stokes, common practice, no source. */
const DAMPER_LATELY_MS = 45 * MINUTE_MS;

/** What usually causes a standing kiln at this heat, and what to try: common practice, no source. */
function byHeat(smoothC: number): string {
  if (smoothC < 600)
    return 'Usual at this heat: wet or thick wood, or too little draught. Try drier, thinner wood.';
  if (smoothC < 1050)
    return 'Usual at this heat: embers choke the firebox, or too little air. Let it burn down, rake, then small wood.';
  return 'Usual at this heat: too much wood at once, or too much cold air. Let it burn down, then smaller stokes, one change at a time.';
}

/** Since when nobody has stoked, ms; null where stokes go on, or nobody knows. */
export function unstokedMs({ at, stoke: { lastAt, medianIntervalMs } }: KilnView): number | null {
  if (lastAt === null || medianIntervalMs === null) return null;
  const sinceMs = at - lastAt;
  return sinceMs >= Math.max(UNSTOKED_MS, UNSTOKED_INTERVALS * medianIntervalMs) ? sinceMs : null;
}

/** The likeliest cause by what was seen and logged, then by the heat. */
function usualCauses(view: KilnView, smoothC: number): string {
  const unstoked = unstokedMs(view);
  if (unstoked !== null) return `No stoke for ${spanInWords(unstoked)}: is somebody stoking?`;
  const { at, damperAt } = view;
  if (damperAt !== null && at - damperAt <= DAMPER_LATELY_MS)
    return `The damper was moved ${spanInWords(at - damperAt)} ago: that may be it. ${byHeat(smoothC)}`;
  return byHeat(smoothC);
}

/** The same of a kiln that falls: where stokes are seen or logged, it is not for want of them. */
function fallCauses(view: KilnView, smoothC: number): string {
  const { lastAt, medianIntervalMs } = view.stoke;
  const known = lastAt !== null && medianIntervalMs !== null;
  return known ? usualCauses(view, smoothC) : 'Is somebody stoking?';
}

/** The share of a normal distribution below `z`: the logistic curve of about the same shape, within 0.01. */
function shareBelow(z: number): number {
  return 1 / (1 + Math.exp(-1.702 * z));
}

/**
 * `The kiln stands still: down 5 °F (3 °C) an hour, for about 30 minutes (80 % sure).` The climb is that of half an hour:
 * where it does not yet bear out what the readings show by now, it is left out.
 */
function soInWords(does: string, limitCPerH: number, forMs: number, kiln: KilnView['kiln']): string {
  const { climbCPerH, climbSdCPerH, shownCPerH } = kiln;
  if (climbCPerH === null || climbSdCPerH === null || shownCPerH === null) return `The kiln ${does}.`;
  const sure = shareBelow((limitCPerH - shownCPerH) / (SHOWN_SD_TIMES * Math.max(climbSdCPerH, 1)));
  const percent = Math.min(Math.max(5 * Math.round(20 * sure), 50), 95);
  const minutes = 5 * Math.round((forMs + TEST_LAGS_MS) / MINUTE_MS / 5);
  const rate = climbCPerH < limitCPerH ? `: ${climbInWords(climbCPerH)}` : '';
  return `The kiln ${does}${rate}, for about ${spanInWords(minutes * MINUTE_MS)} (${percent} % sure).`;
}

function judge(
  view: KilnView,
  limitCPerH: number,
  { sure }: { sure: boolean },
  said: { raised: (smoothC: number) => string; cleared: string },
): Finding[] {
  const why = whyNoStall(view);
  if (why !== null) return [{ probe: null, verdict: 'off', text: () => why, offDelayMs: NO_STALL_MS }];
  const { smoothC, shownCPerH } = view.kiln;
  if (smoothC === null || shownCPerH === null) return notKnown();
  const climbs = shownCPerH > limitCPerH + CLEAR_BAND_C_PER_H;
  // Once it climbs, what the sums still hold is of the past.
  return aboutKiln(verdictOf(sure && !climbs, climbs), () => (climbs ? said.cleared : said.raised(smoothC)));
}

export const stall: Rule = {
  name: 'stall',
  onDelayMs: 0,
  offDelayMs: OVER_MS,
  easesMs: STALL_EASES_MS,
  judge: (view) => {
    const { stallCPerH } = view.plan;
    const { stands } = view.still;
    const does = (view.kiln.climbCPerH ?? 0) < -stallCPerH ? 'does not climb' : 'stands still';
    return judge(view, stallCPerH, stands, {
      raised: (smoothC) =>
        `${soInWords(does, stallCPerH, stands.forMs, view.kiln)} ${usualCauses(view, smoothC)}`,
      cleared: 'It climbs again.',
    });
  },
};

export const falling: Rule = {
  name: 'falling',
  onDelayMs: 0,
  offDelayMs: OVER_MS,
  easesMs: STALL_EASES_MS,
  judge: (view) => {
    const limitCPerH = -view.plan.stallCPerH;
    const { falls } = view.still;
    return judge(view, limitCPerH, falls, {
      raised: (smoothC) =>
        `${soInWords('loses heat', limitCPerH, falls.forMs, view.kiln)} ${fallCauses(view, smoothC)} If it was closed on purpose, log the clam-up.`,
      cleared: 'It falls no more.',
    });
  },
};
