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
          title={PLAN.targets}
          source={PLAN_SOURCES.climbTargets}
          rows={plan.climbTargets}
          fresh={{ toC: plan.topC, climbCPerH: 50 }}
          onChange={(climbTargets) => set({ climbTargets })}
        >
          {(row, change) => (
            <>
              <NumberField
                {...common('climbTargets.toC')}
                words={PLAN.upTo}
                value={row.toC}
                quantity="heat"
                onChange={needed((toC) => change({ toC }))}
              />
              <NumberField
                {...common('climbTargets.climbCPerH')}
                words={PLAN.target}
                value={row.climbCPerH}
                quantity="rate"
                onChange={needed((climbCPerH) => change({ climbCPerH }))}
              />
            </>
          )}
        </Rows>
        <Rows
          title={PLAN.limits}
          source={PLAN_SOURCES.climbLimits}
          rows={plan.climbLimits}
          fresh={{ toC: 650, maxCPerH: 83 }}
          onChange={(climbLimits) => set({ climbLimits })}
        >
          {(row, change) => (
            <>
              <NumberField
                {...common('climbLimits.toC')}
                words={PLAN.upTo}
                value={row.toC}
                quantity="heat"
                onChange={needed((toC) => change({ toC }))}
              />
              <NumberField
                {...common('climbLimits.maxCPerH')}
                words={PLAN.limit}
                value={row.maxCPerH}
                quantity="rate"
                onChange={needed((maxCPerH) => change({ maxCPerH }))}
              />
            </>
          )}
        </Rows>
        <Rows
          title={PLAN.holds}
          rows={plan.holds}
          fresh={{ atC: 80, minutes: 60 }}
          onChange={(holds) => set({ holds })}
        >
          {(row, change) => (
            <>
              <NumberField
                {...common('holds.atC')}
                words={PLAN.holdAt}
                value={row.atC}
                quantity="heat"
                onChange={needed((atC) => change({ atC }))}
              />
              <NumberField
                {...common('holds.minutes')}
                words={PLAN.holdFor}
                value={row.minutes}
                quantity="minutes"
                onChange={needed((minutes) => change({ minutes }))}
              />
            </>
          )}
        </Rows>
        <Rows
          title={PLAN.coolingBands}
          source={PLAN_SOURCES.coolingBands}
          rows={plan.coolingBands}
          fresh={{ fromC: 620, toC: 520, maxCPerH: 50 }}
          onChange={(coolingBands) => set({ coolingBands })}
        >
          {(row, change) => (
            <>
              <NumberField
                {...common('coolingBands.fromC')}
                words={PLAN.from}
                value={row.fromC}
                quantity="heat"
                onChange={needed((fromC) => change({ fromC }))}
              />
              <NumberField
                {...common('coolingBands.toC')}
                words={PLAN.downTo}
                value={row.toC}
                quantity="heat"
                onChange={needed((toC) => change({ toC }))}
              />
              <NumberField
                {...common('coolingBands.maxCPerH')}
                words={PLAN.limit}
                value={row.maxCPerH}
                quantity="rate"
                onChange={needed((maxCPerH) => change({ maxCPerH }))}
              />
            </>
          )}
        </Rows>
      </section>
    </>
  );
}
