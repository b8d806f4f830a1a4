/** The plan and the load of the firing that burns: changed here, kept in its log book. */
import { useState } from 'preact/hooks';
import { type Plan, planSchema } from '../../protocol/plan.ts';
import type { TemperatureUnit } from '../../protocol/units.ts';
import type { Firing } from '../firing.ts';
import { planChanges } from '../plan/changes.ts';
import { PLAN } from '../words.ts';
import { CopyPlan } from './CopyPlan.tsx';
import type { Say } from './Hands.tsx';
import { LoadPlaces } from './LoadPlaces.tsx';
import { TextField } from './PlanFields.tsx';
import { PlanHeats } from './PlanHeats.tsx';
import { PlanWood } from './PlanWood.tsx';

interface Props {
  firing: Firing;
  unit: TemperatureUnit;
  say: Say;
}

/** What belongs to the load of a plan, and is taken over apart from the rest. */
const LOAD_FIELDS = ['places', 'conePacks', 'load', 'drawRings'] as const;

/** `mine` with the load of `other`, or `other` with the load and the name of `mine`. */
function takenOver(mine: Plan, other: Plan, what: 'plan' | 'load'): Plan {
  const load = Object.fromEntries(
    LOAD_FIELDS.map((field) => [field, (what === 'load' ? other : mine)[field]]),
  );
  return { ...(what === 'load' ? mine : { ...other, name: mine.name }), ...load };
}

/** Why it cannot be kept, in one sentence; null where it can. */
function wrongWith(draft: Plan): string | null {
  const parsed = planSchema.safeParse(draft);
  if (parsed.success) return null;
  const [issue] = parsed.error.issues;
  return issue ? `${issue.path.join(', ')}: ${issue.message}` : '';
}

export function PlanPage({ firing, unit, say }: Props) {
  const [draft, setDraft] = useState<Plan | null>(null);
  const [unsound, setUnsound] = useState<ReadonlySet<string>>(new Set());
  const [told, setTold] = useState('');
  const plan = draft ?? firing.plan;
  const change = (next: Plan) => {
    setDraft(next);
    setTold('');
  };
  const changes = planChanges(firing.plan, plan, unit);
  const wrong = wrongWith(plan);
  const onSound = (field: string, sound: boolean) =>
    setUnsound((before) => {
      if (before.has(field) !== sound) return before;
      const next = new Set(before);
      if (sound) next.delete(field);
      else next.add(field);
      return next;
    });
  const keep = () => {
    say({ ...plan, log: 'plan' });
    setDraft(null);
    setTold(PLAN.kept);
  };
  return (
    <section class="plan" aria-labelledby="plan-title">
      <h2 id="plan-title">{PLAN.title}</h2>
      <p>{PLAN.intro}</p>
      <div class="plan-head">
        <TextField words={PLAN.name} value={plan.name} onChange={(name) => change({ ...plan, name })} />
        <CopyPlan
          firing={firing.summary.id}
          onCopy={(other, what, name) => {
            change(takenOver(plan, other, what));
            setTold(PLAN.copied(name));
          }}
        />
      </div>
      <LoadPlaces plan={plan} onChange={change} />
      <PlanHeats
        plan={plan}
        unit={unit}
        probes={firing.probes.map(({ name }) => name)}
        onChange={change}
        onSound={onSound}
      />
      <PlanWood plan={plan} unit={unit} onChange={change} onSound={onSound} />
      <div class="plan-keep">
        <p aria-live="polite">
          {told || (changes.length === 0 ? PLAN.nothingChanged : PLAN.changes(changes.length))}
          {wrong !== null && <strong> {PLAN.wrong(wrong)}</strong>}
        </p>
        {changes.length > 0 && (
          <ul class="plan-changes">
            {changes.map((one) => (
              <li key={one}>{one}</li>
            ))}
          </ul>
        )}
        <div class="group-row">
          <button
            type="button"
            class="press plain"
            disabled={changes.length === 0 || wrong !== null || unsound.size > 0}
            onClick={keep}
          >
            {PLAN.keep}
          </button>
          {changes.length > 0 && (
            <button type="button" class="press" onClick={() => setDraft(null)}>
              {PLAN.startAgain}
            </button>
          )}
        </div>
      </div>
    </section>
  );
}
