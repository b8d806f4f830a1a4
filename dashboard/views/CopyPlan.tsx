/** Takes the plan or the load of a past firing over into the form. */
import { useState } from 'preact/hooks';
import type { Plan } from '../../protocol/plan.ts';
import { presentPlan } from '../../protocol/plan-in-log.ts';
import { fetchFiring, fetchFirings } from '../fetch-past.ts';
import { PLAN } from '../words.ts';
import { Group } from './Group.tsx';
import { useFetched } from './use-fetched.ts';

interface Props {
  /** The firing whose plan is in the form: it is not offered. */
  firing: string;
  onCopy(plan: Plan, what: 'plan' | 'load', name: string): void;
}

/** A copied plan needs no curve. */
const LEAST_WIDTH = 100;

export function CopyPlan({ firing, onCopy }: Props) {
  const [fetched] = useFetched(fetchFirings, 'list');
  const [which, setWhich] = useState('');
  const [failed, setFailed] = useState(false);
  if (fetched.state !== 'here') return null;
  const others = fetched.what.filter(({ id }) => id !== firing);
  const chosen = others.find(({ id }) => id === which) ?? others[0];
  if (!chosen) return null;
  const copy = (what: 'plan' | 'load') => {
    void fetchFiring(chosen.id, LEAST_WIDTH).then((record) => {
      setFailed(record === null);
      if (record) onCopy(presentPlan(record.firstPlan, record.log), what, chosen.name);
    });
  };
  return (
    <Group name={PLAN.copy}>
      <label class="field">
        <span>{PLAN.copyWhat}</span>
        <select value={chosen.id} onChange={(event) => setWhich(event.currentTarget.value)}>
          {others.map(({ id, name }) => (
            <option key={id} value={id}>
              {name === '' ? id : `${name} (${id.slice(0, 10)})`}
            </option>
          ))}
        </select>
      </label>
      <button type="button" class="press" onClick={() => copy('plan')}>
        {PLAN.copyPlan}
      </button>
      <button type="button" class="press" onClick={() => copy('load')}>
        {PLAN.copyLoad}
      </button>
      {failed && <p class="group-note">{PLAN.copyFailed}</p>}
    </Group>
  );
}
