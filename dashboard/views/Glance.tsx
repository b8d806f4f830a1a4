/** One thing that is asked from two metres: its name, the answer in large letters, and a word more. */
import type { ComponentChildren } from 'preact';

interface Props {
  name: string;
  more: string | null;
  children: ComponentChildren;
}

export function Glance({ name, more, children }: Props) {
  return (
    <div class="glance">
      <dt>{name}</dt>
      <dd>
        <span class="glance-what">{children}</span>
        <span class="glance-more">{more}</span>
      </dd>
    </div>
  );
}

/** Go on; nothing to do yet; or leave it for now, which looks like a call. */
export type Tone = 'go' | 'rest' | 'stop';
const TONES = { go: '', rest: 'is-resting', stop: 'tone-look-soon' } as const;

/** What to do now, in two or three words. */
export function Advice({
  what,
  more,
  tone,
  testId,
}: {
  what: string;
  more: string | null;
  tone: Tone;
  testId: string;
}) {
  return (
    <div class={`advice ${TONES[tone]}`} role="status" data-testid={testId}>
      <p class="advice-what">{what}</p>
      <p class="advice-more">{more}</p>
    </div>
  );
}
