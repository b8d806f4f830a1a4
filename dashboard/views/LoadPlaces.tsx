/** What stands where, counted by tapping; and the draw rings and cone packs of each place. */
import { useState } from 'preact/hooks';
import type { Plan } from '../../protocol/plan.ts';
import {
  type Kind,
  kindsOf,
  piecesAt,
  ringsAt,
  withoutPlace,
  withPieces,
  withPlaceRenamed,
  withRings,
} from '../plan/load.ts';
import { sayPlace } from '../say.ts';
import { PLAN } from '../words.ts';
import { Counter } from './Counter.tsx';
import { Group } from './Group.tsx';
import { ConeField, TextField } from './PlanFields.tsx';

interface Props {
  plan: Plan;
  onChange(plan: Plan): void;
}

/** How many pieces a tap counts. */
const STEPS = [1, 6] as const;

function kindWords({ shape, clay }: Kind): string {
  return clay === '' ? shape : `${shape}, ${clay}`;
}

function ConePack({ plan, place, onChange }: Props & { place: string }) {
  const pack = plan.conePacks.find((one) => one.place === place);
  const others = plan.conePacks.filter((one) => one.place !== place);
  const set = (part: Partial<Plan['conePacks'][number]>) => {
    const fresh = { place, guide: plan.firingCone, firing: plan.firingCone, guard: plan.firingCone };
    onChange({ ...plan, conePacks: [...others, { ...(pack ?? fresh), ...part }] });
  };
  return (
    <Group name={PLAN.conePack}>
      {(['guide', 'firing', 'guard'] as const).map((which) => (
        <ConeField
          key={which}
          words={{ guide: PLAN.guideCone, firing: PLAN.packFiringCone, guard: PLAN.guardCone }[which]}
          value={pack?.[which] ?? null}
          none={PLAN.noPack}
          onChange={(cone) =>
            cone === null ? onChange({ ...plan, conePacks: others }) : set({ [which]: cone })
          }
        />
      ))}
    </Group>
  );
}

export function LoadPlaces({ plan, onChange }: Props) {
  const [chosen, setChosen] = useState<string | null>(null);
  const [kind, setKind] = useState<Kind>({ shape: '', clay: '' });
  const place = chosen !== null && plan.places.includes(chosen) ? chosen : (plan.places[0] ?? null);
  const addPlace = () => {
    let n = plan.places.length + 1;
    while (plan.places.includes(PLAN.placeNumber(n))) n += 1;
    onChange({ ...plan, places: [...plan.places, PLAN.placeNumber(n)] });
    setChosen(PLAN.placeNumber(n));
  };
  return (
    <section class="plan-part" aria-labelledby="load-title">
      <h3 id="load-title">{PLAN.load}</h3>
      <p class="quiet">{PLAN.loadHelp}</p>
      <p>{PLAN.inAll(PLAN.pieces(piecesAt(plan.load, null)))}</p>
      <fieldset class="group" aria-label={PLAN.places}>
        <div class="places">
          {plan.places.map((one) => (
            <button
              key={one}
              type="button"
              class="press choice"
              aria-pressed={one === place}
              onClick={() => setChosen(one)}
            >
              <span>{sayPlace(one)}</span>
              <span class="press-small">{PLAN.pieces(piecesAt(plan.load, one))}</span>
            </button>
          ))}
          <button type="button" class="press" onClick={addPlace}>
            {PLAN.addPlace}
          </button>
        </div>
      </fieldset>
      {place !== null && (
        <div class="place-sheet">
          <TextField
            words={PLAN.placeName}
            value={place}
            onChange={(name) => {
              const free = name.trim() !== '' && !plan.places.some((one) => one === name && one !== place);
              if (!free) return;
              onChange(withPlaceRenamed(plan, place, name));
              setChosen(name);
            }}
          />
          {kindsOf(plan.load).map((one) => (
            <Counter
              key={kindWords(one)}
              words={kindWords(one)}
              count={piecesAt(plan.load, place, one)}
              steps={STEPS}
              onMore={(more) => onChange({ ...plan, load: withPieces(plan.load, place, one, more) })}
            />
          ))}
          <Counter
            words={PLAN.ring}
            count={ringsAt(plan.drawRings, place)}
            steps={[1]}
            onMore={(more) => onChange({ ...plan, drawRings: withRings(plan.drawRings, place, more) })}
          />
          <Group name={PLAN.newKind}>
            <TextField
              words={PLAN.shape}
              value={kind.shape}
              onChange={(shape) => setKind({ ...kind, shape })}
            />
            <TextField words={PLAN.clay} value={kind.clay} onChange={(clay) => setKind({ ...kind, clay })} />
            <button
              type="button"
              class="press"
              disabled={kind.shape.trim() === ''}
              onClick={() => {
                const named = { shape: kind.shape.trim(), clay: kind.clay.trim() };
                onChange({ ...plan, load: withPieces(plan.load, place, named, 1) });
                setKind({ shape: '', clay: '' });
              }}
            >
              {PLAN.addKind}
            </button>
          </Group>
          <ConePack plan={plan} place={place} onChange={onChange} />
          <button type="button" class="press" onClick={() => onChange(withoutPlace(plan, place))}>
            {PLAN.takePlaceAway(place)}
          </button>
        </div>
      )}
    </section>
  );
}
