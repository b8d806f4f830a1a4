/** The top of the page: what feeds it if that is no kiln, then what is so and what to do. */
import { sayClock } from '../say.ts';
import type { Sentence } from '../sentence.ts';
import { PRIORITY_WORDS, SAY } from '../words.ts';
import { useSpoken } from './hooks.ts';
import { PriorityShape } from './icons.tsx';
import { PressButton } from './PressButton.tsx';

interface Props {
  sentence: Sentence;
  /** What feeds the page, where it is no real kiln. */
  banner: string | null;
  oldPage: boolean;
  /** Changes when an alert comes or goes. */
  urgentKey: string;
  /** The alert of the sentence was answered here, and the answer is on its way. */
  answered?: boolean;
  onHeard?(alert: string): void;
}

export function SayFirst({ sentence, banner, oldPage, urgentKey, answered = false, onHeard }: Props) {
  const { alert } = sentence;
  const heard = alert?.acknowledged ?? null;
  const whole = sentence.lines.join(' ');
  const spoken = useSpoken(whole, urgentKey);
  return (
    <div class="say-first">
      {banner && <p class="banner">{banner}</p>}
      <div class={`sentence tone-${sentence.tone}`} data-testid="sentence">
        {alert && (
          <p class="sentence-priority">
            <PriorityShape priority={alert.priority} />
            <span>{PRIORITY_WORDS[alert.priority]}</span>
            {heard && <span class="sentence-heard">{SAY.heardAt(sayClock(heard.at), heard.who)}</span>}
          </p>
        )}
        {sentence.lines.map((line, index) => (
          <p key={line} class={index === 0 ? 'sentence-first' : 'sentence-more'}>
            {line}
          </p>
        ))}
        {alert && onHeard && !heard && !answered && (
          <PressButton class="plain" label={SAY.heardOf(alert.text)} onPress={() => onHeard(alert.id)}>
            {SAY.heard}
          </PressButton>
        )}
        {oldPage && (
          <button type="button" class="press plain" onClick={() => location.reload()}>
            {SAY.load}
          </button>
        )}
      </div>
      <div class="unseen" role="status" aria-live={sentence.tone === 'come-now' ? 'assertive' : 'polite'}>
        {spoken}
      </div>
    </div>
  );
}
