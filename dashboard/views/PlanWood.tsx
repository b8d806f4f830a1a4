/** The wood of the plan: what it is, how dry, how long, and how much stands stacked. */
import type { Plan } from '../../protocol/plan.ts';
import type { TemperatureUnit } from '../../protocol/units.ts';
import { STACK_UNITS, WOODS, type WoodPlan } from '../../protocol/woods.ts';
import { PLAN, PLAN_SOURCES, WOOD_WORDS } from '../words.ts';
import { NumberField } from './PlanFields.tsx';

interface Props {
  plan: Plan;
  unit: TemperatureUnit;
  onChange(plan: Plan): void;
  onSound(field: string, sound: boolean): void;
}

type StackUnit = NonNullable<WoodPlan['stack']>['unit'];

export function PlanWood({ plan, unit, onChange, onSound }: Props) {
  const { wood } = plan;
  const set = (part: Partial<WoodPlan>) => onChange({ ...plan, wood: { ...wood, ...part } });
  const common = (field: string) => ({ unit, onSound: (sound: boolean) => onSound(`wood.${field}`, sound) });
  const stackUnit: StackUnit = wood.stack?.unit ?? 'face-cords';
  return (
    <section class="plan-part" aria-labelledby="wood-plan-title">
      <h3 id="wood-plan-title">{PLAN.wood}</h3>
      <div class="plan-fields">
        <div class="plan-field">
          <label class="field">
            <span>{PLAN.species}</span>
            <select
              value={wood.species}
              onChange={({ currentTarget }) => {
                const species = WOODS.find((one) => one === currentTarget.value);
                if (species) set({ species });
              }}
            >
              {WOODS.map((one) => (
                <option key={one} value={one}>
                  {WOOD_WORDS[one]}
                </option>
              ))}
            </select>
          </label>
          <p class="plan-source">{PLAN_SOURCES.wood}</p>
        </div>
        <NumberField
          {...common('moisture')}
          words={PLAN.moisture}
          value={wood.moisture * 100}
          quantity="percent"
          onChange={(percent) => percent !== null && set({ moisture: percent / 100 })}
        />
        <NumberField
          {...common('stickIn')}
          words={PLAN.stick}
          value={wood.stickIn}
          quantity="length"
          onChange={(stickIn) => stickIn !== null && set({ stickIn })}
        />
        <NumberField
          {...common('stack')}
          words={PLAN.stack}
          value={wood.stack?.amount ?? null}
          quantity={stackUnit === 'kg' ? 'mass' : 'bare'}
          mayBeEmpty
          onChange={(amount) => set({ stack: amount === null ? null : { amount, unit: stackUnit } })}
        />
        <div class="plan-field">
          <label class="field">
            <span>{PLAN.stackUnit}</span>
            <select
              value={stackUnit}
              disabled={wood.stack === null}
              onChange={({ currentTarget }) => {
                const chosen = STACK_UNITS.find((one) => one === currentTarget.value);
                if (chosen && wood.stack) set({ stack: { ...wood.stack, unit: chosen } });
              }}
            >
              {STACK_UNITS.map((one) => (
                <option key={one} value={one}>
                  {PLAN.stackUnits[one]}
                </option>
              ))}
            </select>
          </label>
          <p class="plan-source">{PLAN.stackHelp}</p>
        </div>
        <NumberField
          {...common('stokeKg')}
          words={PLAN.usualStoke}
          value={wood.stokeKg}
          quantity="mass"
          mayBeEmpty
          onChange={(stokeKg) => set({ stokeKg })}
        />
      </div>
    </section>
  );
}
