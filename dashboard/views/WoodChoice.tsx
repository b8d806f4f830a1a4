/** How much wood goes in at a press of Stoke: the usual, or so much until it is chosen anew. */
import { sayWeight } from '../say.ts';
import type { Settings } from '../settings.ts';
import { ENTRY } from '../words.ts';
import { Group } from './Group.tsx';

/** A pound is 0.453 592 37 kg (NIST Handbook 44). */
const POUND_KG = 0.453_592_37;
const CHOICES_KG = { F: [5, 10, 20, 40].map((pounds) => pounds * POUND_KG), C: [2, 5, 10, 20] } as const;

interface Props {
  /** As planned, kg; null where the plan does not say. */
  usualKg: number | null;
  settings: Settings;
  change(part: Partial<Settings>): void;
}

export function WoodChoice({ usualKg, settings, change }: Props) {
  const { unit, stokeKg } = settings;
  const choices = [null, ...CHOICES_KG[unit]];
  // Chosen in the other unit: it is shown as it is.
  if (!choices.includes(stokeKg)) choices.push(stokeKg);
  const words = (kg: number | null) =>
    kg !== null
      ? // Round numbers: without their decimals all of them stand in one row of a phone.
        sayWeight(kg, unit).replace(/[.,]0(?=\D)/, '')
      : usualKg === null
        ? ENTRY.usual
        : ENTRY.usualIs(sayWeight(usualKg, unit));
  return (
    <Group name={ENTRY.howMuchWood}>
      {choices.map((kg) => (
        <button
          key={kg ?? 'usual'}
          type="button"
          class="press choice"
          aria-pressed={stokeKg === kg}
          onClick={() => change({ stokeKg: kg })}
        >
          {words(kg)}
        </button>
      ))}
    </Group>
  );
}
