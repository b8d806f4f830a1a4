/** Heats, climb, salt: the figures of the plan. */
import type { Plan } from '../../protocol/plan.ts';
import type { TemperatureUnit } from '../../protocol/units.ts';
import { PLAN, PLAN_SOURCES } from '../words.ts';
import { ConeField, NumberField, Rows } from './PlanFields.tsx';

interface Props {
  plan: Plan;
  unit: TemperatureUnit;
  probes: readonly string[];
  onChange(plan: Plan): void;
  onSound(field: string, sound: boolean): void;
}

const G_A_KG = 1000;

export function PlanHeats({ plan, unit, probes, onChange, onSound }: Props) {
  const set = (part: Partial<Plan>) => onChange({ ...plan, ...part });
  const common = (field: string) => ({ unit, onSound: (sound: boolean) => onSound(field, sound) });
  const rowsOf = (list: string) => ({
    unit,
    onSound: (field: string, sound: boolean) => onSound(`${list}.${field}`, sound),
  });
  /** A figure that may not be empty keeps its last value until there is another. */
  const needed = (take: (value: number) => void) => (value: number | null) => {
    if (value !== null) take(value);
  };
  const charges = plan.chargeG > 0 ? Math.round((plan.saltKg * G_A_KG) / plan.chargeG) : 0;
  return (
    <>
      <section class="plan-part" aria-labelledby="heats-title">
        <h3 id="heats-title">{PLAN.heats}</h3>
        <div class="plan-fields">
          <NumberField
            {...common('saltingStartC')}
            words={PLAN.saltingStart}
            value={plan.saltingStartC}
            quantity="heat"
            mayBeEmpty
            source={PLAN_SOURCES.saltingStartC}
            onChange={(saltingStartC) => set({ saltingStartC })}
          />
          <ConeField
            words={PLAN.saltingCone}
            value={plan.saltingStartCone}
            none={PLAN.none}
            source={PLAN_SOURCES.saltingStartCone}
            onChange={(saltingStartCone) => set({ saltingStartCone })}
          />
          <ConeField
            words={PLAN.firingCone}
            value={plan.firingCone}
            source={PLAN_SOURCES.firingCone}
            onChange={(cone) => cone !== null && set({ firingCone: cone })}
          />
          <NumberField
            {...common('topC')}
            words={PLAN.top}
            value={plan.topC}
            quantity="heat"
            source={PLAN_SOURCES.topC}
            onChange={needed((topC) => set({ topC }))}
          />
          <NumberField
            {...common('unbrickC')}
            words={PLAN.unbrick}
            value={plan.unbrickC}
            quantity="heat"
            source={PLAN_SOURCES.unbrickC}
            onChange={needed((unbrickC) => set({ unbrickC }))}
          />
          <div class="plan-field">
            <label class="field">
              <span>{PLAN.guide}</span>
              <select
                value={plan.guide ?? ''}
                onChange={({ currentTarget }) =>
                  set({ guide: currentTarget.value === '' ? null : currentTarget.value })
                }
              >
                <option value="">{PLAN.guideMean}</option>
                {[...new Set([...probes, ...(plan.guide === null ? [] : [plan.guide])])].map((name) => (
                  <option key={name} value={name}>
                    {name}
                  </option>
                ))}
              </select>
            </label>
          </div>
        </div>
      </section>
      <section class="plan-part" aria-labelledby="salt-plan-title">
        <h3 id="salt-plan-title">{PLAN.salting}</h3>
        <div class="plan-fields">
          <NumberField
            {...common('saltKg')}
            words={PLAN.salt}
            value={plan.saltKg}
            quantity="mass"
            source={PLAN_SOURCES.saltKg}
            onChange={needed((saltKg) => set({ saltKg }))}
          />
          <NumberField
            {...common('chargeG')}
            words={PLAN.charge}
            value={plan.chargeG}
            quantity="charge"
            source={PLAN_SOURCES.chargeG}
            onChange={needed((chargeG) => set({ chargeG }))}
          />
        </div>
        <p>{PLAN.charges(String(charges))}</p>
      </section>
      <section class="plan-part" aria-labelledby="climbs-title">
        <h3 id="climbs-title">{PLAN.climbs}</h3>
        <p class="quiet">{PLAN.climbsHelp}</p>
        <NumberField
          {...common('stallCPerH')}
          words={PLAN.stall}
          value={plan.stallCPerH}
          quantity="rate"
          source={PLAN_SOURCES.stallCPerH}
          onChange={needed((stallCPerH) => set({ stallCPerH }))}
        />
        <Rows
          {...rowsOf('climbTargets')}
          title={PLAN.targets}
          source={PLAN_SOURCES.climbTargets}
          rows={plan.climbTargets}
          fields={[
            { key: 'toC', words: PLAN.upTo, quantity: 'heat' },
            { key: 'climbCPerH', words: PLAN.target, quantity: 'rate' },
          ]}
          fresh={{ toC: plan.topC, climbCPerH: 50 }}
          onChange={(climbTargets) => set({ climbTargets })}
        />
        <Rows
          {...rowsOf('climbLimits')}
          title={PLAN.limits}
          source={PLAN_SOURCES.climbLimits}
          rows={plan.climbLimits}
          fields={[
            { key: 'toC', words: PLAN.upTo, quantity: 'heat' },
            { key: 'maxCPerH', words: PLAN.limit, quantity: 'rate' },
          ]}
          fresh={{ toC: 650, maxCPerH: 83 }}
          onChange={(climbLimits) => set({ climbLimits })}
        />
        <Rows
          {...rowsOf('holds')}
          title={PLAN.holds}
          rows={plan.holds}
          fields={[
            { key: 'atC', words: PLAN.holdAt, quantity: 'heat' },
            { key: 'minutes', words: PLAN.holdFor, quantity: 'minutes' },
          ]}
          fresh={{ atC: 80, minutes: 60 }}
          onChange={(holds) => set({ holds })}
        />
        <Rows
          {...rowsOf('coolingBands')}
          title={PLAN.coolingBands}
          source={PLAN_SOURCES.coolingBands}
          rows={plan.coolingBands}
          fields={[
            { key: 'fromC', words: PLAN.from, quantity: 'heat' },
            { key: 'toC', words: PLAN.downTo, quantity: 'heat' },
            { key: 'maxCPerH', words: PLAN.limit, quantity: 'rate' },
          ]}
          fresh={{ fromC: 620, toC: 520, maxCPerH: 50 }}
          onChange={(coolingBands) => set({ coolingBands })}
        />
      </section>
    </>
  );
}
