/** The other alerts that stand: how urgent, in word and shape, what they say, and the button that answers them. */
import type { TemperatureUnit } from '../../protocol/units.ts';
import { alertHead, alertWords } from '../alert-words.ts';
import { calls, standingAlerts } from '../firing.ts';
import type { Moment } from '../moment.ts';
import { inOneUnit } from '../say.ts';
import { SAY } from '../words.ts';
import { PriorityShape } from './icons.tsx';
import { PressButton } from './PressButton.tsx';

interface Props {
  moment: Moment;
  unit: TemperatureUnit;
  /** This one is told and answered at the top of the page. */
  toldAbove: string | null;
  /** Left out in a past firing, where there is nothing to answer. A note calls once, and wants no answer. */
  onHeard?(alert: string): void;
}

export function Alerts({ moment, unit, toldAbove, onHeard }: Props) {
  const standing = standingAlerts(moment.firing, moment.log).filter(({ id }) => id !== toldAbove);
  if (standing.length === 0) return null;
  return (
    <section class="alerts" aria-labelledby="alerts-title">
      <h2 id="alerts-title" class="unseen">
        {SAY.alerts}
      </h2>
      <ul>
        {standing.map((alert) => {
          const { id, priority, text } = alert;
          const { what, todo } = alertWords(alert, moment, unit);
          const { word, since } = alertHead(alert, moment.now);
          const rests = priority !== 'note' && !calls(alert);
          return (
            <li key={id} class={`alert is-${priority} ${rests ? 'is-heard' : ''}`}>
              <p class="alert-priority">
                <PriorityShape priority={priority} />
                <strong>{word}</strong>
                <span class="alert-since">{since}</span>
              </p>
              <p class="alert-text">{todo === null ? what : `${what} ${todo}`}</p>
              {onHeard && calls(alert) && priority !== 'note' && (
                <PressButton
                  class="plain"
                  label={SAY.heardOf(inOneUnit(text, unit))}
                  onPress={() => onHeard(id)}
                >
                  {SAY.heard}
                </PressButton>
              )}
            </li>
          );
        })}
      </ul>
    </section>
  );
}
