/** Alerts that stand: how urgent, in word and shape, what they say, and the button that answers them. */
import { answeredAlerts, standingAlerts } from '../firing.ts';
import { sayClock, saySpan } from '../say.ts';
import type { Moment } from '../sentence.ts';
import { PRIORITY_WORDS, SAY } from '../words.ts';
import { PriorityShape } from './icons.tsx';
import { PressButton } from './PressButton.tsx';

interface Props {
  moment: Moment;
  /** This one is told and answered at the top of the page. */
  toldAbove: string | null;
  /** Left out in a past firing, where there is nothing to answer. */
  onHeard?(alert: string): void;
}

export function Alerts({ moment, toldAbove, onHeard }: Props) {
  const standing = standingAlerts(moment.firing).filter(({ id }) => id !== toldAbove);
  if (standing.length === 0) return null;
  const answered = answeredAlerts(moment.log);
  return (
    <section class="alerts" aria-labelledby="alerts-title">
      <h2 id="alerts-title">{SAY.alerts}</h2>
      <ul>
        {standing.map(({ id, priority, text, raisedAt, acknowledged }) => (
          <li key={id} class={`alert is-${priority} ${acknowledged || answered.has(id) ? 'is-heard' : ''}`}>
            <p class="alert-priority">
              <PriorityShape priority={priority} />
              <strong>{PRIORITY_WORDS[priority]}</strong>
              <span class="alert-since">
                {acknowledged
                  ? SAY.heardAt(sayClock(acknowledged.at), acknowledged.who)
                  : SAY.raisedAgo(saySpan(moment.now - raisedAt))}
              </span>
            </p>
            <p class="alert-text">{text}</p>
            {onHeard && !acknowledged && !answered.has(id) && (
              <PressButton class="plain" label={SAY.heardOf(text)} onPress={() => onHeard(id)}>
                {SAY.heard}
              </PressButton>
            )}
          </li>
        ))}
      </ul>
    </section>
  );
}
