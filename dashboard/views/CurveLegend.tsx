/** The curve's lines and marks as small drawings: the same dashes and shapes as on the canvas, beside their words. */
import type { ComponentChildren } from 'preact';
import { type EndMark, probeLine } from '../curve/line-styles.ts';
import { PRIORITY_WORDS, SAY } from '../words.ts';
import { PriorityShape } from './icons.tsx';

function MarkShape({ mark }: { mark: EndMark }) {
  switch (mark) {
    case 'square':
      return <rect x="21" y="5" width="8" height="8" fill="currentColor" />;
    case 'disc':
      return <circle cx="25" cy="9" r="5" fill="currentColor" />;
    case 'ring':
      return <circle cx="25" cy="9" r="4" fill="none" stroke="currentColor" stroke-width="2" />;
    case 'triangle':
      return <path d="M25 3.5l5 9.5h-10z" fill="currentColor" />;
    case 'diamond':
      return <path d="M25 3l5.5 6l-5.5 6l-5.5-6z" fill="currentColor" />;
  }
}

/** The line of the probe at this place in the hello; -1: the kiln's own. */
export function LineSample({ index }: { index: number }) {
  const kiln = index < 0;
  const { dash, mark, colourIndex } = probeLine(Math.max(0, index));
  return (
    <svg
      class={`line-sample ${kiln ? 'line-kiln' : `line-${colourIndex + 1}`}`}
      viewBox="0 0 32 18"
      aria-hidden="true"
    >
      <path
        d="M1 9h20"
        fill="none"
        stroke="currentColor"
        stroke-width={kiln ? 3 : 1.75}
        stroke-dasharray={kiln ? undefined : dash.join(' ')}
      />
      <MarkShape mark={kiln ? 'disc' : mark} />
    </svg>
  );
}

function Mark({ words, children }: { words: string; children: ComponentChildren }) {
  return (
    <li>
      {children} {words}
    </li>
  );
}

export function MarkLegend() {
  return (
    <ul class="curve-legend" aria-label={SAY.legendMarks}>
      <Mark words={SAY.markStoke}>
        <svg class="mark" viewBox="0 0 8 16" aria-hidden="true">
          <path d="M4 3v10" stroke="currentColor" stroke-width="1.75" />
        </svg>
      </Mark>
      <Mark words={SAY.markSalt}>
        <svg class="mark" viewBox="0 0 8 16" aria-hidden="true">
          <rect x="1.5" y="6" width="5" height="5" fill="currentColor" />
        </svg>
      </Mark>
      <Mark words={SAY.markDraw}>
        <svg class="mark is-wide" viewBox="0 0 16 16" aria-hidden="true">
          <circle cx="8" cy="8" r="5" fill="none" stroke="currentColor" stroke-width="2" />
        </svg>
      </Mark>
      {(['look-soon', 'come-now'] as const).map((priority) => (
        <Mark key={priority} words={PRIORITY_WORDS[priority].toLowerCase()}>
          <PriorityShape priority={priority} />
        </Mark>
      ))}
    </ul>
  );
}
