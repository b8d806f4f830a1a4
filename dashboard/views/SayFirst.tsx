/** The top of the page: what feeds it if that is no kiln, then what is so and what to do. */
import type { TemperatureUnit } from '../../protocol/units.ts';
import type { AlertHead } from '../alert-words.ts';
import { calls } from '../firing.ts';
import { inOneUnit } from '../say.ts';
import type { Sentence } from '../sentence.ts';
import type { Spoken } from '../spoken.ts';
import { SAY } from '../words.ts';
import { useSpoken } from './hooks.ts';
import { PriorityShape } from './icons.tsx';
import { PressButton } from './PressButton.tsx';

interface Props {
  sentence: Sentence;
  /** How the alert stands that is told in it; null where there is none. */
  head: AlertHead | null;
  /** What is read aloud. */
  aloud: Spoken;
  /** What feeds the page, where it is no real kiln. */
  banner: string | null;
  oldPage: boolean;
  unit: TemperatureUnit;
  /** Changes when an alert comes or goes. */
  urgentKey: string;
  onHeard?(alert: string): void;
}

/** A call that has just come is not answered by a thumb that was on its way to what stood there before. */
const DEAF_FOR_MS = 700;

export function SayFirst({ sentence, head, aloud, banner, oldPage, unit, urgentKey, onHeard }: Props) {
  const { alert, tone } = sentence;
  const spoken = useSpoken(aloud, urgentKey);
  return (
    <div class="say-first">
      {banner && <p class="banner">{banner}</p>}
      <div class={`sentence tone-${tone}`} data-testid="sentence">
        {alert && head && tone !== 'calm' && (
          <div class="sentence-head">
            <p class="sentence-priority">
              <PriorityShape priority={alert.priority} />
              <strong>{head.word}</strong>
              <span class="sentence-since">{head.since}</span>
            </p>
            {onHeard && calls(alert) && (
              <PressButton
                key={alert.id}
                class="plain"
                label={SAY.heardOf(inOneUnit(alert.text, unit))}
                deafForMs={DEAF_FOR_MS}
                onPress={() => onHeard(alert.id)}
              >
                {SAY.heard}
              </PressButton>
            )}
          </div>
        )}
        {sentence.lines.map((line, index) => (
          <p key={String(index)} class={index === 0 ? 'sentence-first' : 'sentence-more'}>
            {line}
          </p>
        ))}
        {oldPage && (
          <button type="button" class="press plain" onClick={() => location.reload()}>
            {SAY.load}
          </button>
        )}
      </div>
      <div class="unseen" role="status" aria-live={tone === 'come-now' ? 'assertive' : 'polite'}>
        {spoken}
      </div>
    </div>
  );
}
