/** The hour of the salt: the notice ahead, the window, the pause when too cold, and the draw rings that are due. */
import { parseCone } from '../../protocol/cones.ts';
import { aboutKiln, MINUTE_MS, type Rule, verdictOf } from '../rule.ts';
import type { KilnView } from '../view.ts';
import { heatInWords, spanInWords } from '../words.ts';

const SOON_MS = 30 * MINUTE_MS;
/** The notice is taken back only when the heat has moved well away again. */
const NOT_SOON_MS = 55 * MINUTE_MS;
/** The window closes this far below its start. */
const CLOSE_BELOW_C = 22;
const CLOSE_AFTER_MS = 10 * MINUTE_MS;
/** A kiln that loses heat faster than this opens no window, °C/h. */
const LEAST_CLIMB_C_PER_H = -11;
const PAUSE_BELOW_C = 11;
const RESUME_BELOW_C = 3;
/** A draw ring is due when these parts of the salt are in. */
const DRAW_PARTS = [0.25, 0.5, 0.75, 1];

/** Before or within the salting, as the stages go. */
function maySalt(view: KilnView): boolean {
  return view.stage === 'climbing' || view.stage === 'hold' || view.stage === 'salting';
}

/** The plan gives a heat, a cone, or both: all that it gives must be reached. */
function hotEnough(view: KilnView): boolean {
  const { saltingStartC, saltingStartCone } = view.plan;
  const { smoothC, coneValue } = view.kiln;
  if (saltingStartC === null && saltingStartCone === null) return false;
  if (saltingStartC !== null && (smoothC === null || smoothC < saltingStartC)) return false;
  const cone = saltingStartCone === null ? null : parseCone(saltingStartCone);
  return cone === null || (coneValue !== null && coneValue >= cone);
}

function enoughSalt(view: KilnView): boolean {
  return view.salt.ended || (view.salt.startedAt !== null && view.salt.inKg >= view.plan.saltKg);
}

export const saltingSoon: Rule = {
  name: 'salting-soon',
  onDelayMs: 2 * MINUTE_MS,
  offDelayMs: 10 * MINUTE_MS,
  judge: (view) => {
    const reached = hotEnough(view);
    const done = reached || view.salt.startedAt !== null || !maySalt(view) || view.noCoupleLeft;
    const toMs = view.toSaltingMs;
    const on = !done && toMs !== null && toMs <= SOON_MS;
    const off = done || (toMs !== null && toMs > NOT_SOON_MS);
    const text = () => {
      if (on && toMs !== null) {
        return `Salting heat in about ${spanInWords(toMs)}. Have the salt weighed and dry, draw rings in reach, masks on.`;
      }
      return reached ? 'Salting heat is reached.' : 'Salting heat is further off again.';
    };
    return [{ probe: null, verdict: verdictOf(on, off), text, ...(done ? { offDelayMs: 0 } : {}) }];
  },
};

export const saltingWindow: Rule = {
  name: 'salting-window',
  onDelayMs: 2 * MINUTE_MS,
  offDelayMs: 0,
  judge: (view) => {
    const { smoothC, climbCPerH } = view.kiln;
    const { saltingStartC, topC } = view.plan;
    if (!maySalt(view) || view.noCoupleLeft) return aboutKiln('off', () => 'Salting is over.');
    if (enoughSalt(view)) return aboutKiln('off', () => 'Enough salt is in.');
    if (smoothC === null) return aboutKiln('between', () => '');
    if (smoothC > topC) return aboutKiln('off', () => `Hotter than ${heatInWords(topC)}: the plan's top.`);
    if (saltingStartC !== null && smoothC < saltingStartC - CLOSE_BELOW_C) {
      const text = () => `Too cold for salt: ${heatInWords(smoothC)}.`;
      return [{ probe: null, verdict: 'off', text, offDelayMs: CLOSE_AFTER_MS }];
    }
    const on = hotEnough(view) && climbCPerH !== null && climbCPerH > LEAST_CLIMB_C_PER_H;
    return aboutKiln(
      verdictOf(on, false),
      () =>
        `Hot enough for salt: ${heatInWords(smoothC)}. Small charges, both holes; stay upwind of the fume, never alone.`,
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
    if (view.stage !== 'salting' || saltingStartC === null || view.noCoupleLeft) {
      return aboutKiln('off', () => 'Salting is over.');
    }
    if (smoothC === null) return aboutKiln('between', () => '');
    const on = smoothC < saltingStartC - PAUSE_BELOW_C;
    const off = smoothC >= saltingStartC - RESUME_BELOW_C;
    return aboutKiln(verdictOf(on, off), () =>
      off
        ? `The heat is back: ${heatInWords(smoothC)}. Go on salting.`
        : `Too cold for salt: ${heatInWords(smoothC)}. Wait, stoke, and salt again near ${heatInWords(saltingStartC)}.`,
    );
  },
};

export const drawDue: Rule = {
  name: 'draw-due',
  onDelayMs: 0,
  offDelayMs: 0,
  judge: (view) => {
    const { inKg } = view.salt;
    const salting = view.stage === 'salting' || view.stage === 'soak';
    const due = salting ? DRAW_PARTS.filter((part) => inKg >= part * view.plan.saltKg - 1e-9).length : 0;
    const on = due > view.draws && view.plan.saltKg > 0;
    return aboutKiln(on ? 'on' : 'off', () =>
      on
        ? `Draw ring ${view.draws + 1} is due: ${inKg.toFixed(1)} kg of ${view.plan.saltKg} kg salt is in.`
        : 'The draw ring is noted.',
    );
  },
};
