/** Small drawings. Each only repeats what stands beside it in words. */
import type { AlertPriority } from '../../protocol/alert-names.ts';
import type { Way } from '../say.ts';

const BURST = Array.from({ length: 16 }, (_, i) => {
  const reach = i % 2 === 0 ? 11 : 6;
  return `${12 + reach * Math.cos((i * Math.PI) / 8)},${12 + reach * Math.sin((i * Math.PI) / 8)}`;
}).join(' ');

export function WayArrow({ way }: { way: Way }) {
  const path = way === 'still' ? 'M3 12h15M12 5l7 7-7 7' : 'M12 21V6M5 12l7-7 7 7';
  return (
    <svg class={`way way-${way}`} viewBox="0 0 24 24" aria-hidden="true">
      <path d={path} fill="none" stroke="currentColor" stroke-width="3.4" stroke-linecap="round" />
    </svg>
  );
}

export function PriorityShape({ priority }: { priority: AlertPriority }) {
  return (
    <svg class="shape" viewBox="0 0 24 24" aria-hidden="true">
      {priority === 'come-now' && <polygon points={BURST} fill="currentColor" />}
      {priority === 'look-soon' && (
        <path
          d="M1 12Q12 0 23 12Q12 24 1 12ZM12 8a4 4 0 1 0 .01 0Z"
          fill="currentColor"
          fill-rule="evenodd"
        />
      )}
      {priority === 'note' && (
        <circle cx="12" cy="12" r="5" fill="none" stroke="currentColor" stroke-width="3" />
      )}
    </svg>
  );
}

/** The spyhole: what shows through it at this heat (0: nothing glows, null: not known). */
export function Spyhole({ glow }: { glow: number | null }) {
  return (
    <svg class="spyhole" viewBox="0 0 48 48" aria-hidden="true">
      <circle cx="24" cy="24" r="22" class="spyhole-brick" />
      <circle cx="24" cy="24" r="14" class={glow === null ? 'spyhole-shut' : `glow-${glow}`} />
    </svg>
  );
}
