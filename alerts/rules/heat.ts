/** Too hot, and too uneven. */
import { aboutKiln, type Finding, MINUTE_MS, type Rule, verdictOf } from '../rule.ts';
import type { KilnView } from '../view.ts';
import { differenceInWords, heatInWords } from '../words.ts';

const DEAD_BAND_C = 5;
/** Front to back: up to 400 °F on the way, 150 °F at the top of a firing (a potter's published diary). */
const UNEVEN_C = 222;
const UNEVEN_HOT_C = 83;
const HOT_FROM_C = 1100;
const EVEN_AGAIN_PART = 0.9;

export const overHeat: Rule = {
  name: 'over-heat',
  onDelayMs: 3 * MINUTE_MS,
  offDelayMs: 3 * MINUTE_MS,
  judge: (view) => {
    const { smoothC } = view.kiln;
    const { topC } = view.plan;
    const kiln =
      smoothC === null
        ? verdictOf(false, view.noCoupleLeft)
        : verdictOf(smoothC > topC, smoothC < topC - DEAD_BAND_C);
    const findings: Finding[] = aboutKiln(kiln, () =>
      kiln === 'on' && smoothC !== null
        ? `Hotter than the plan's top: ${heatInWords(smoothC)}, top ${heatInWords(topC)}.`
        : 'Below the top again.',
    );
    for (const { probe, smoothC: probeC, nearLimitC, working } of view.probes) {
      const near = working && probeC !== null && probeC > nearLimitC;
      const off = !working || (probeC !== null && probeC < nearLimitC - DEAD_BAND_C);
      const text = () =>
        near && probeC !== null
          ? `Probe ${probe} is near the most its couple can read: ${heatInWords(probeC)}.`
          : `Probe ${probe} is clear of its couple's limit.`;
      findings.push({ probe, verdict: verdictOf(near, off), text });
    }
    return findings;
  },
};

/** Largest less smallest of the working probes, °C; null with fewer than two. */
function spreadC(view: KilnView): number | null {
  let least = Number.POSITIVE_INFINITY;
  let greatest = Number.NEGATIVE_INFINITY;
  let count = 0;
  for (const { working, smoothC } of view.probes) {
    if (!working || smoothC === null) continue;
    least = Math.min(least, smoothC);
    greatest = Math.max(greatest, smoothC);
    count += 1;
  }
  return count < 2 ? null : greatest - least;
}

export const uneven: Rule = {
  name: 'uneven',
  onDelayMs: 30 * MINUTE_MS,
  offDelayMs: 5 * MINUTE_MS,
  judge: (view) => {
    const burning = view.stage !== 'before' && view.stage !== 'cooling' && view.stage !== 'open';
    const spread = spreadC(view);
    if (!burning || spread === null || view.kiln.smoothC === null) {
      return aboutKiln('off', () => 'Not compared any more.');
    }
    const limitC = view.kiln.smoothC >= HOT_FROM_C ? UNEVEN_HOT_C : UNEVEN_C;
    const off = spread < EVEN_AGAIN_PART * limitC;
    return aboutKiln(verdictOf(spread > limitC, off), () =>
      off
        ? `Even enough again: ${differenceInWords(spread)} between the probes.`
        : `Uneven for half an hour: ${differenceInWords(spread)} between the hottest and the coldest probe.`,
    );
  },
};
