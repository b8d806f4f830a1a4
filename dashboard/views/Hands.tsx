/** Two hands: the left hole's buttons at the left edge, the right hole's at the right, as the holes are at the kiln. */

import type { Hole } from '../../collector/core/stoking.ts';
import type { TemperatureUnit } from '../../protocol/units.ts';
import type { Moment } from '../moment.ts';
import { saltNow } from '../salt.ts';
import { sayCharge, sayWeight } from '../say.ts';
import { nextStokeHole } from '../stoking-words.ts';
import { SAY } from '../words.ts';
import { PressButton } from './PressButton.tsx';

export type Say = (entry: { log: string } & Record<string, unknown>) => void;

interface Props {
  moment: Moment;
  unit: TemperatureUnit;
  charges: number;
  /** Wood at a press, kg; null: the usual. */
  stokeKg: number | null;
  /** The salt's buttons are there only once salt may go in before long: a phone has little room. Once it is over they are small. */
  salts: boolean;
  say: Say;
}

const HOLE_WORDS: Record<Hole, string> = { left: SAY.leftHole, right: SAY.rightHole };

export function Hands({ moment, unit, charges, stokeKg, salts, say }: Props) {
  const g = Math.round(moment.firing.plan.chargeG * charges * 10) / 10;
  const charge = sayCharge(g, unit);
  const wood = stokeKg === null ? '' : `, ${sayWeight(stokeKg, unit)}`;
  const { count, say: salting } = saltNow(moment);
  const nextSalt = moment.firing.stage === 'salting' && salting !== 'over' ? count.next : null;
  const nextStoke = nextStokeHole(moment);
  return (
    <section class="hands" aria-label={SAY.hands}>
      {(['left', 'right'] as const).map((hole) => (
        <div key={hole} class={`hand hand-${hole}`}>
          <PressButton
            class="hand-press"
            label={SAY.stokeLabel(HOLE_WORDS[hole] + wood, nextStoke === hole)}
            onPress={() => say({ log: 'stoke', hole, ...(stokeKg === null ? {} : { kg: stokeKg }) })}
          >
            <span class="press-word">
              {SAY.stoke}
              {nextStoke === hole && <span class="next-mark">{SAY.next}</span>}
            </span>
            <span class="press-small">{HOLE_WORDS[hole] + wood}</span>
          </PressButton>
          {salts && (
            <PressButton
              class={`hand-press is-salt ${salting === 'over' ? 'is-over' : ''}`}
              label={SAY.saltLabel(HOLE_WORDS[hole], charge, nextSalt === hole)}
              onPress={() => say({ log: 'salt', hole, g })}
            >
              <span class="press-word">
                {SAY.salt}
                {nextSalt === hole && <span class="next-mark">{SAY.next}</span>}
              </span>
              <span class="press-small">
                {HOLE_WORDS[hole]}, {charge}
              </span>
            </PressButton>
          )}
        </div>
      ))}
    </section>
  );
}
