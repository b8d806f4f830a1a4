/** Everything else that one does at a kiln, each at one touch; the big steps want a held press. */
import { useState } from 'preact/hooks';
import { isClosed, lastOf, pulledProbes } from '../firing.ts';
import { DAMPER_STEPS, WEATHERS } from '../log/choices.ts';
import type { Moment } from '../moment.ts';
import type { Settings } from '../settings.ts';
import { ENTRY, loggedWords, SAY } from '../words.ts';
import { ChargeChoice } from './ChargeChoice.tsx';
import { ConesSeen } from './ConesSeen.tsx';
import { DrawRings } from './DrawRings.tsx';
import { Group } from './Group.tsx';
import type { Say } from './Hands.tsx';
import { HoldButton } from './HoldButton.tsx';
import { PressButton } from './PressButton.tsx';
import { WoodChoice } from './WoodChoice.tsx';

interface Props {
  moment: Moment;
  settings: Settings;
  change(part: Partial<Settings>): void;
  say: Say;
}

const FIRES = ['oxidising', 'neutral', 'reducing'];

export function AtTheKiln({ moment, settings, change, say }: Props) {
  const { firing, log } = moment;
  const holding = lastOf(log, 'hold')?.json.on === true;
  const damper = lastOf(log, 'damper')?.json.open;
  const pulled = pulledProbes(log);
  const closed = isClosed(moment);
  return (
    <section class="at-kiln" aria-labelledby="at-kiln-title">
      <h2 id="at-kiln-title">{SAY.atTheKiln}</h2>
      <div class="groups">
        {!closed && <DrawRings moment={moment} say={say} />}
        <Group name={SAY.damper}>
          {DAMPER_STEPS.map(({ open, words, short }) => (
            <PressButton
              key={words}
              pressed={damper === open}
              label={`${SAY.damper} ${words}`}
              onPress={() => say({ log: 'damper', open })}
            >
              {short}
            </PressButton>
          ))}
        </Group>
        {!closed && (
          <>
            <Group name={SAY.holdGroup}>
              <PressButton pressed={holding} onPress={() => say({ log: 'hold', on: !holding })}>
                {holding ? SAY.endHold : SAY.hold}
              </PressButton>
            </Group>
            <Group name={SAY.fire}>
              {FIRES.map((seen) => (
                <PressButton
                  key={seen}
                  label={`${SAY.fire} ${loggedWords(seen)}`}
                  onPress={() => say({ log: 'atmosphere', seen })}
                >
                  {loggedWords(seen)}
                </PressButton>
              ))}
            </Group>
            <ChargeChoice chargeG={firing.plan.chargeG} settings={settings} change={change} />
            <WoodChoice usualKg={firing.plan.wood.stokeKg} settings={settings} change={change} />
          </>
        )}
        <ConesSeen moment={moment} say={say} />
        <Group name={SAY.couples}>
          {firing.probes.map(({ name }) => (
            <PressButton
              key={name}
              onPress={() => say({ log: pulled.has(name) ? 'put-back' : 'pulled', probe: name })}
            >
              {pulled.has(name) ? SAY.putBack(name) : SAY.pull(name)}
            </PressButton>
          ))}
        </Group>
        <Group name={ENTRY.weather}>
          {WEATHERS.map((note) => (
            <PressButton
              key={note}
              label={`${ENTRY.weather} ${loggedWords(note)}`}
              onPress={() => say({ log: 'weather', note })}
            >
              {loggedWords(note)}
            </PressButton>
          ))}
        </Group>
        <NoteGroup say={say} />
        <Group name={SAY.steps}>
          {!closed && (
            <>
              <HoldButton words={SAY.endSalt} onHeld={() => say({ log: 'end-salt' })} />
              <HoldButton words={SAY.clamUp} onHeld={() => say({ log: 'clam-up' })} />
            </>
          )}
          <HoldButton words={SAY.unbricked} onHeld={() => say({ log: 'unbricked' })} />
        </Group>
      </div>
    </section>
  );
}

function NoteGroup({ say }: { say: Say }) {
  const [note, setNote] = useState('');
  return (
    <Group name={SAY.note}>
      <form
        class="note-form"
        onSubmit={(event) => {
          event.preventDefault();
          if (note.trim() === '') return;
          say({ log: 'note', note: note.trim() });
          setNote('');
        }}
      >
        <label class="field">
          <span>{SAY.noteLabel}</span>
          <textarea rows={2} value={note} onInput={(event) => setNote(event.currentTarget.value)} />
        </label>
        <button type="submit" class="press" disabled={note.trim() === ''}>
          {SAY.writeDown}
        </button>
      </form>
    </Group>
  );
}
