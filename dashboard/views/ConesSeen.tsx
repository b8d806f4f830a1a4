/** Which cone bends or is down, and where. */
import { useState } from 'preact/hooks';
import { CONE_NAMES } from '../../protocol/cones.ts';
import type { Moment } from '../moment.ts';
import { sayPlace } from '../say.ts';
import { SAY } from '../words.ts';
import { Group } from './Group.tsx';
import type { Say } from './Hands.tsx';
import { PressButton } from './PressButton.tsx';

export function ConesSeen({ moment, say }: { moment: Moment; say: Say }) {
  const { firing, log } = moment;
  const [cone, setCone] = useState(firing.plan.firingCone);
  const [probe, setProbe] = useState('');
  const tell = (word: 'cone-bending' | 'cone-down') =>
    say(probe === '' ? { log: word, cone } : { log: word, cone, probe });
  const salted = log.some((row) => row.log === 'salt' && !row.undone);
  const packs = firing.plan.conePacks;
  const names: readonly string[] = CONE_NAMES;
  const cones = names.includes(firing.plan.firingCone) ? names : [...names, firing.plan.firingCone];
  return (
    <Group name={SAY.conesSeen}>
      <label class="field">
        <span>{SAY.cone}</span>
        <select value={cone} onChange={(event) => setCone(event.currentTarget.value)}>
          {packs.map(({ place, guide, firing: at, guard }) => (
            <optgroup key={place} label={sayPlace(place)}>
              {[...new Set([guide, at, guard])].map((one) => (
                <option key={one} value={one}>
                  {one}
                </option>
              ))}
            </optgroup>
          ))}
          <optgroup label={SAY.allCones}>
            {cones.map((one) => (
              <option key={one} value={one}>
                {one}
              </option>
            ))}
          </optgroup>
        </select>
      </label>
      <label class="field">
        <span>{SAY.conePlace}</span>
        <select value={probe} onChange={(event) => setProbe(event.currentTarget.value)}>
          <option value="">{SAY.anywhere}</option>
          {firing.probes.map(({ name }) => (
            <option key={name} value={name}>
              {name}
            </option>
          ))}
        </select>
      </label>
      <PressButton label={`${SAY.coneOf(cone)} ${SAY.bending}`} onPress={() => tell('cone-bending')}>
        {SAY.bending}
      </PressButton>
      <PressButton label={`${SAY.coneOf(cone)} ${SAY.down}`} onPress={() => tell('cone-down')}>
        {SAY.down}
      </PressButton>
      {salted && <p class="group-note">{SAY.coneInSalt}</p>}
    </Group>
  );
}
