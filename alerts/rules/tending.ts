/** What is to be done next at the kiln: the next stoke, and in the end the unbricking. */
import { aboutKiln, MINUTE_MS, type Rule } from '../rule.ts';
import type { KilnView } from '../view.ts';
import { heatInWords, spanInWords } from '../words.ts';

/** Without a turn of the heat a stoke is due after so many usual intervals. */
const LATE_INTERVALS = 1.5;
/**
 * With the heat turned down it is due a little after the usual time, for most stokes go in by then unasked. Where stokes
 * are only seen in the signal this does not serve: a stoke shows itself some time after it went in.
 */
const TURNED_INTERVALS = 1.15;
/** So far must the heat have fallen from its peak. */
const FALLEN_C = 5;
const UNBRICK_AGAIN_C = 5;

function stokeDueNow(view: KilnView): boolean {
  const { lastAt, medianIntervalMs, logged, turnedDownAt, fallenC } = view.stoke;
  const burning =
    view.stage === 'climbing' || view.stage === 'hold' || view.stage === 'salting' || view.stage === 'soak';
  if (!burning || lastAt === null || medianIntervalMs === null) return false;
  const since = view.at - lastAt;
  const turned = logged && turnedDownAt !== null && turnedDownAt > lastAt && fallenC >= FALLEN_C;
  return (
    since >= LATE_INTERVALS * medianIntervalMs || (turned && since >= TURNED_INTERVALS * medianIntervalMs)
  );
}

export const stokeDue: Rule = {
  name: 'stoke-due',
  onDelayMs: 0,
  offDelayMs: 0,
  judge: (view) => {
    const on = stokeDueNow(view);
    return aboutKiln(on ? 'on' : 'off', () =>
      on && view.stoke.lastAt !== null
        ? `The next stoke is due: ${view.stoke.turnedDownAt === null ? '' : 'the heat has peaked and goes down, '}the last one was ${spanInWords(view.at - view.stoke.lastAt)} ago.`
        : 'Stoked.',
    );
  },
};

export const readyToUnbrick: Rule = {
  name: 'ready-to-unbrick',
  onDelayMs: 5 * MINUTE_MS,
  offDelayMs: 5 * MINUTE_MS,
  judge: (view) => {
    let hottestC: number | null = null;
    for (const { working, smoothC } of view.probes) {
      if (working && smoothC !== null && (hottestC === null || smoothC > hottestC)) hottestC = smoothC;
    }
    if (view.stage !== 'cooling') return aboutKiln('off', () => 'The kiln is open.');
    if (hottestC === null) return aboutKiln('between', () => '');
    const { unbrickC } = view.plan;
    const heat = heatInWords(hottestC);
    if (hottestC >= unbrickC + UNBRICK_AGAIN_C)
      return aboutKiln('off', () => `Too hot to open again: ${heat}.`);
    return aboutKiln(
      hottestC < unbrickC ? 'on' : 'between',
      () =>
        `Cool enough to unbrick: the hottest probe shows ${heat}. Open slowly: draughts crack pots, brick and ware still burn. Wet the dust.`,
    );
  },
};
