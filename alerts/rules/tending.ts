/** What is to be done next at the kiln: the next stoke, and in the end the unbricking. */
import { isBurning } from '../../protocol/stages.ts';
import { MINUTE_MS } from '../../protocol/units.ts';
import { whyNoStall } from '../may-stall.ts';
import { aboutKiln, notKnown, type Rule, verdictOf } from '../rule.ts';
import type { KilnView } from '../view.ts';
import { heatInWords, nowInWords, spanInWords } from '../words.ts';
import { climbsTooFast } from './climb.ts';
import { unstokedMs } from './stall.ts';

/** Without a turn of the heat a stoke is due after so many usual intervals. */
const LATE_INTERVALS = 1.5;
const UNBRICK_AGAIN_C = 5;

/** The heat has peaked and begun to go down, or it is long past the usual time. */
function isDue({ at, stoke }: KilnView): boolean {
  const { lastAt, medianIntervalMs, peakedAt } = stoke;
  if (peakedAt !== null) return true;
  return lastAt !== null && medianIntervalMs !== null && at - lastAt >= LATE_INTERVALS * medianIntervalMs;
}

/** Why no wood is called for though it is time, or null: the alert that stands then asks for less of it. */
function whyWait(view: KilnView): string | null {
  if (climbsTooFast(view)) return 'It climbs too fast: no wood yet.';
  const stands = view.still.stands.sure && whyNoStall(view) === null;
  return stands && unstokedMs(view) === null ? 'It stands still: let it burn down first.' : null;
}

/** `The last stoke was 12 minutes ago.` */
function lastStokeInWords({ at, stoke: { lastAt, logged } }: KilnView): string {
  if (lastAt === null) return '';
  return ` The last stoke${logged ? '' : ' seen'} was ${spanInWords(at - lastAt)} ago.`;
}

export const stokeDue: Rule = {
  name: 'stoke-due',
  onDelayMs: 0,
  offDelayMs: 0,
  judge: (view) => {
    const { stage, stoke } = view;
    if (!isBurning(stage) || (view.noCoupleLeft && !stoke.logged))
      return aboutKiln('off', () => nowInWords(view));
    // A stoke that nobody logs cannot be seen while there are no readings.
    if (!stoke.logged && view.kiln.smoothC === null) return notKnown();
    const wait = whyWait(view);
    if (wait !== null) return aboutKiln('off', () => wait);
    const on = isDue(view);
    return aboutKiln(on ? 'on' : 'off', () => {
      if (!on) return 'Stoked.';
      const due =
        stoke.peakedAt === null ? 'Time to stoke.' : 'Time to stoke: the last one has given its heat.';
      return `${due}${lastStokeInWords(view)}`;
    });
  },
};

export const readyToUnbrick: Rule = {
  name: 'ready-to-unbrick',
  onDelayMs: 5 * MINUTE_MS,
  offDelayMs: 5 * MINUTE_MS,
  judge: (view) => {
    if (view.stage !== 'cooling' || view.noCoupleLeft) return aboutKiln('off', () => nowInWords(view));
    let hottestC = Number.NEGATIVE_INFINITY;
    for (const { working, smoothC } of view.probes)
      if (working && smoothC !== null) hottestC = Math.max(hottestC, smoothC);
    if (hottestC === Number.NEGATIVE_INFINITY) return notKnown();
    const { unbrickC } = view.plan;
    const on = hottestC < unbrickC;
    return aboutKiln(verdictOf(on, hottestC >= unbrickC + UNBRICK_AGAIN_C), () =>
      on
        ? `Cool enough to unbrick: the hottest probe shows ${heatInWords(hottestC)}. Open slowly, cold air cracks pots. Brick and ware still burn you. Wet the dust.`
        : `Too hot to open again: ${heatInWords(hottestC)}.`,
    );
  },
};
