/** A draw ring is out: one touch says how thick the glaze is; what else is seen on it may be said after. */
import { useState } from 'preact/hooks';
import { lastOf } from '../firing.ts';
import { RING_COLOURS } from '../log/choices.ts';
import type { Moment } from '../moment.ts';
import { ENTRY, loggedWords, SAY } from '../words.ts';
import { Group } from './Group.tsx';
import type { Say } from './Hands.tsx';
import { PressButton } from './PressButton.tsx';

const DRAWS = [
  ...['thin', 'good', 'heavy'].map((thickness) => ({
    words: loggedWords(thickness),
    entry: { log: 'draw', thickness },
  })),
  { words: SAY.drawUnread, entry: { log: 'draw' } },
];
/** So long after it was pulled one may say more of a ring. */
const READ_WITHIN_MS = 30 * 60_000;

export function DrawRings({ moment, say }: { moment: Moment; say: Say }) {
  const last = lastOf(moment.log, 'draw');
  return (
    <>
      <Group name={SAY.drawRing}>
        {DRAWS.map(({ words, entry }) => (
          <PressButton key={words} label={`${SAY.drawRing}, ${words}`} onPress={() => say(entry)}>
            {words}
          </PressButton>
        ))}
      </Group>
      {last !== null && moment.now - last.at < READ_WITHIN_MS && (
        <MoreOfRing
          key={last.at}
          json={last.json}
          onSay={(more) => say({ ...last.json, log: 'draw', ...more, at: last.at, mends: last.id })}
        />
      )}
    </>
  );
}

/** What else is seen on the last ring: each touch writes it to the ring's own entry. */
function MoreOfRing({
  json,
  onSay,
}: {
  json: Record<string, unknown>;
  onSay(more: Record<string, unknown>): void;
}) {
  const [note, setNote] = useState('');
  const peel = json.orangePeel === true;
  return (
    <Group name={ENTRY.ringMore}>
      <PressButton pressed={peel} onPress={() => onSay({ orangePeel: !peel })}>
        {ENTRY.orangePeel}
      </PressButton>
      {RING_COLOURS.map((colour) => (
        <PressButton
          key={colour}
          pressed={json.colour === colour}
          label={`${ENTRY.ringColour} ${loggedWords(colour)}`}
          onPress={() => onSay({ colour })}
        >
          {loggedWords(colour)}
        </PressButton>
      ))}
      <form
        class="ring-note"
        onSubmit={(event) => {
          event.preventDefault();
          if (note.trim() === '') return;
          onSay({ note: note.trim() });
          setNote('');
        }}
      >
        <label class="field">
          <span>{ENTRY.ringNote}</span>
          <input type="text" maxLength={200} value={note} onInput={(e) => setNote(e.currentTarget.value)} />
        </label>
        <button type="submit" class="press" disabled={note.trim() === ''}>
          {SAY.writeDown}
        </button>
      </form>
    </Group>
  );
}
