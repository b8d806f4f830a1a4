/** The hour of the salt: the notice ahead, the window, the pause when too cold, and the draw rings that are due. */
import { MINUTE_MS } from '../../protocol/units.ts';
import { aboutKiln, notKnown, type Rule, verdictOf } from '../rule.ts';
import { drawsDue, isSaltIn } from '../salt-in.ts';
import { hotEnough, WINDOW_BELOW_C } from '../salting-heat.ts';
import type { KilnView } from '../view.ts';
import { heatInWords, nowInWords, saltInWords, spanInWords } from '../words.ts';

const SOON_MS = 30 * MINUTE_MS;
/** The notice is taken back only when the heat has moved well away again. */
const NOT_SOON_MS = 55 * MINUTE_MS;
const OPEN_AFTER_MS = 2 * MINUTE_MS;
const CLOSE_AFTER_MS = 10 * MINUTE_MS;
/** A kiln that loses heat faster than this opens no window, °C/h. */
const LEAST_CLIMB_C_PER_H = -11;
const PAUSE_BELOW_C = 11;
const RESUME_BELOW_C = 3;

/** Before or within the salting, as the stages go. */
function maySalt({ stage }: KilnView): boolean {
  return stage === 'climbing' || stage === 'hold' || stage === 'salting';
}

function enoughSalt({ salt, plan }: KilnView): boolean {
  return salt.ended || (salt.startedAt !== null && isSaltIn(salt.inKg, plan.saltKg));
}

export const saltingSoon: Rule = {
  name: 'salting-soon',
  onDelayMs: 2 * MINUTE_MS,
  offDelayMs: 10 * MINUTE_MS,
  judge: (view) => {
    const done = nothingAhead(view);
    if (done !== null) return [{ probe: null, verdict: 'off', text: () => done, offDelayMs: 0 }];
    // It stands until the window opens: the most awaited minutes are not silent.
    if (hotEnough(view))
      return [
        { probe: null, verdict: 'off', text: () => 'Salting heat is reached.', offDelayMs: OPEN_AFTER_MS },
      ];
    if (view.kiln.smoothC === null || view.kiln.climbCPerH === null) return notKnown();
    const toMs = view.toSaltingMs;
    if (toMs !== null && toMs <= SOON_MS) {
      return aboutKiln(
        'on',
        () =>
          `Salting heat in about ${spanInWords(toMs)}. Have dry, weighed salt, draw rings, masks and gloves ready.`,
      );
    }
    // A kiln that climbs too slowly to say when is further off, too; in a hold nothing is said.
    const away = toMs === null ? view.stage === 'climbing' : toMs > NOT_SOON_MS;
    return aboutKiln(verdictOf(false, away), () => 'Salting heat is further off again.');
  },
};

/** Why there is no salting heat ahead any more, or null. */
function nothingAhead(view: KilnView): string | null {
  if (!maySalt(view) || view.noCoupleLeft) return nowInWords(view);
  return view.salt.startedAt === null ? null : 'Salting has begun.';
}

export const saltingWindow: Rule = {
  name: 'salting-window',
  onDelayMs: OPEN_AFTER_MS,
  offDelayMs: 0,
  judge: (view) => {
    const { smoothC, climbCPerH } = view.kiln;
    const { saltingStartC, topC } = view.plan;
    if (enoughSalt(view)) return aboutKiln('off', () => 'Enough salt is in.');
    if (!maySalt(view) || view.noCoupleLeft) return aboutKiln('off', () => nowInWords(view));
    if (smoothC === null) return notKnown();
    if (smoothC > topC)
      return aboutKiln('off', () => `Hotter than the plan's top, ${heatInWords(topC)}: no salt now.`);
    if (saltingStartC !== null && smoothC < saltingStartC - WINDOW_BELOW_C) {
      const text = () => `Too cold for salt: ${heatInWords(smoothC)}.`;
      return [{ probe: null, verdict: 'off', text, offDelayMs: CLOSE_AFTER_MS }];
    }
    const on = hotEnough(view) && climbCPerH !== null && climbCPerH > LEAST_CLIMB_C_PER_H;
    return aboutKiln(
      verdictOf(on, false),
      () =>
        `Hot enough for salt: ${heatInWords(smoothC)}. Small charges, both holes in turn. Stay upwind of the fume, and never alone.`,
    );
  },
};

export const saltPause: Rule = {
  name: 'salt-pause',
  onDelayMs: 3 * MINUTE_MS,
  offDelayMs: 0,
  judge: (view) => {
    const { smoothC } = view.kiln;
    const { saltingStartC } = view.plan;
    if (view.stage !== 'salting' || view.noCoupleLeft) return aboutKiln('off', () => nowInWords(view));
    if (enoughSalt(view)) return aboutKiln('off', () => 'Enough salt is in.');
    if (saltingStartC === null) return aboutKiln('off', () => 'The plan gives no heat to wait for.');
    if (smoothC === null) return notKnown();
    const on = smoothC < saltingStartC - PAUSE_BELOW_C;
    return aboutKiln(verdictOf(on, smoothC >= saltingStartC - RESUME_BELOW_C), () =>
      on
        ? `Too cold for salt: ${heatInWords(smoothC)}. Stoke, wait, and salt again near ${heatInWords(saltingStartC)}.`
        : `The heat is back: ${heatInWords(smoothC)}. Go on salting.`,
    );
  },
};

export const drawDue: Rule = {
  name: 'draw-due',
  onDelayMs: 0,
  offDelayMs: 0,
  judge: (view) => {
    const { salt, draws, stage } = view;
    const { saltKg } = view.plan;
    if (stage !== 'salting' && stage !== 'soak') return aboutKiln('off', () => nowInWords(view));
    const on = drawsDue(salt.inKg, saltKg, draws).due > draws;
    return aboutKiln(on ? 'on' : 'off', () =>
      on
        ? `Draw ring ${draws + 1} is due: ${saltInWords(salt.inKg, saltKg)} of salt is in. Gloves and dark glasses on.`
        : 'The draw ring is out.',
    );
  },
};
