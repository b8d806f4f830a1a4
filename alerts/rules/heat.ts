/** Too hot, and too uneven. */
import { MINUTE_MS } from '../../protocol/units.ts';
import { aboutKiln, type Finding, notKnown, type Rule, verdictOf } from '../rule.ts';
import type { KilnView, ProbeView } from '../view.ts';
import { differenceInWords, heatInWords, nowInWords } from '../words.ts';

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
    const findings = overTheTop(view);
    for (const probe of view.probes) findings.push(nearItsLimit(probe));
    return findings;
  },
};

function overTheTop(view: KilnView): Finding[] {
  const { smoothC } = view.kiln;
  const { topC } = view.plan;
  if (view.noCoupleLeft) return aboutKiln('off', () => nowInWords(view));
  if (smoothC === null) return notKnown();
  const on = smoothC > topC;
  return aboutKiln(verdictOf(on, smoothC < topC - DEAD_BAND_C), () =>
    on
      ? `Hotter than planned: ${heatInWords(smoothC)}, the top is ${heatInWords(topC)}. Stop stoking and let it burn down.`
      : `Below the top again: ${heatInWords(smoothC)}.`,
  );
}

function nearItsLimit({ probe, pulled, working, fault, smoothC, nearLimitC }: ProbeView): Finding {
  if (pulled || fault !== null) return { probe, verdict: 'off', text: () => `Probe ${probe} reads no more.` };
  if (!working || smoothC === null) return { probe, verdict: 'unknown', text: () => '' };
  const on = smoothC > nearLimitC;
  const text = () =>
    on
      ? `Probe ${probe} shows ${heatInWords(smoothC)}, near the most its couple can read. Stop stoking, and look at the cones.`
      : `Probe ${probe} is well below its couple's limit again.`;
  return { probe, verdict: verdictOf(on, smoothC < nearLimitC - DEAD_BAND_C), text };
}

export const uneven: Rule = {
  name: 'uneven',
  onDelayMs: 30 * MINUTE_MS,
  offDelayMs: 5 * MINUTE_MS,
  judge: (view) => {
    const alight = view.stage !== 'before' && view.stage !== 'cooling' && view.stage !== 'open';
    if (!alight || view.noCoupleLeft) return aboutKiln('off', () => nowInWords(view));
    const { sound, known, hottest, coldest, spreadC } = extremes(view.probes);
    if (sound < 2) return aboutKiln('off', () => 'There is only one probe left to go by.');
    if (known < 2 || view.kiln.smoothC === null) return notKnown();
    const limitC = view.kiln.smoothC >= HOT_FROM_C ? UNEVEN_HOT_C : UNEVEN_C;
    const on = spreadC > limitC;
    return aboutKiln(verdictOf(on, spreadC < EVEN_AGAIN_PART * limitC), () =>
      on
        ? `For half an hour ${hottest} has been much hotter than ${coldest}, by ${differenceInWords(spreadC)} now. Move the damper a little, then wait two or three stokes.`
        : `Even enough again: ${differenceInWords(spreadC)} between the probes.`,
    );
  },
};

/**
 * How many probes are neither pulled nor at fault, how many of them have a heat now, and which is the hottest and which
 * the coldest of those.
 */
function extremes(probes: readonly ProbeView[]) {
  let [sound, known, hottest, coldest] = [0, 0, '', ''];
  let mostC = Number.NEGATIVE_INFINITY;
  let leastC = Number.POSITIVE_INFINITY;
  for (const { probe, pulled, fault, working, smoothC } of probes) {
    if (pulled || fault !== null) continue;
    sound += 1;
    if (!working || smoothC === null) continue;
    known += 1;
    if (smoothC > mostC) [mostC, hottest] = [smoothC, probe];
    if (smoothC < leastC) [leastC, coldest] = [smoothC, probe];
  }
  return { sound, known, hottest, coldest, spreadC: mostC - leastC };
}
