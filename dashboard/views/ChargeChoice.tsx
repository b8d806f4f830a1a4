/** How much goes in at a press of Salt. */
import { sayCharge } from '../say.ts';
import type { Settings } from '../settings.ts';
import { SAY } from '../words.ts';
import { Group } from './Group.tsx';

const CHARGES = [0.5, 1, 2, 4];

interface Props {
  chargeG: number;
  settings: Settings;
  change(part: Partial<Settings>): void;
}

export function ChargeChoice({ chargeG, settings, change }: Props) {
  return (
    <Group name={SAY.charge}>
      {CHARGES.map((times) => (
        <button
          key={times}
          type="button"
          class="press choice"
          aria-pressed={settings.charges === times}
          onClick={() => change({ charges: times })}
        >
          {sayCharge(chargeG * times, settings.unit)}
        </button>
      ))}
    </Group>
  );
}
