/** What one may choose on this page, and how it hears. */
import { BROWSER_PORT } from '../../protocol/browser-link.ts';
import type { Awake } from '../awake.ts';
import type { Settings } from '../settings.ts';
import type { Sounder } from '../sound.ts';
import type { PageState } from '../state.ts';
import { language, speak } from '../words/language.ts';
import { LANGUAGE_NAMES, LINK, LINK_WORDS, PHONE, SAY, STANDING_WORDS, said } from '../words.ts';
import { AwakePress } from './AwakePress.tsx';
import { Group } from './Group.tsx';

interface Props {
  settings: Settings;
  change(part: Partial<Settings>): void;
  state: PageState;
  sounder: Sounder;
  awake: Awake;
  readsBoard: boolean;
  onSound(): void;
}

const LOOKS = [
  { look: 'self', words: SAY.byItself },
  { look: 'day', words: SAY.day },
  { look: 'night', words: SAY.night },
] as const;
const UNITS = [
  { unit: 'F', words: SAY.fahrenheit },
  { unit: 'C', words: SAY.celsius },
] as const;
/** So that each of the three calls can be told from the next, ms. */
const BETWEEN_CALLS_MS = 2600;

export function ThisPage({ settings, change, state, sounder, awake, readsBoard, onSound }: Props) {
  const hearAll = () =>
    (['note', 'look-soon', 'come-now'] as const).forEach((call, index) => {
      setTimeout(() => sounder.play(call), index * BETWEEN_CALLS_MS);
    });
  return (
    <section class="this-page" aria-labelledby="this-page-title">
      <h2 id="this-page-title">{SAY.thisPage}</h2>
      <div class="groups">
        <Group name={SAY.degrees}>
          {UNITS.map(({ unit, words }) => (
            <button
              key={unit}
              type="button"
              class="press choice"
              aria-pressed={settings.unit === unit}
              onClick={() => change({ unit })}
            >
              {words}
            </button>
          ))}
        </Group>
        <Group name={SAY.language}>
          {LANGUAGE_NAMES.map(([tag, name]) => (
            <button
              key={tag}
              type="button"
              class="press choice"
              lang={tag}
              aria-pressed={language === tag}
              onClick={() => speak(tag)}
            >
              {name}
            </button>
          ))}
        </Group>
        <Group name={SAY.look}>
          {LOOKS.map(({ look, words }) => (
            <button
              key={look}
              type="button"
              class="press choice"
              aria-pressed={settings.look === look}
              onClick={() => change({ look })}
            >
              {words}
            </button>
          ))}
        </Group>
        <Group name={SAY.sound}>
          {sounder.armed() ? (
            <>
              <button type="button" class="press choice" onClick={() => void sounder.silence()}>
                {SAY.silence}
              </button>
              <button type="button" class="press choice" onClick={hearAll}>
                {SAY.tryTheSounds}
              </button>
            </>
          ) : (
            <button type="button" class="press choice" onClick={onSound}>
              {SAY.letItSound}
            </button>
          )}
        </Group>
        <Group name={PHONE.screen}>
          <AwakePress awake={awake} />
        </Group>
        <Group name={SAY.who}>
          <input
            type="text"
            aria-label={SAY.who}
            maxLength={80}
            autocomplete="name"
            value={settings.who}
            onInput={(event) => change({ who: event.currentTarget.value })}
          />
        </Group>
      </div>
      <p class="quiet">{window.isSecureContext ? PHONE.keepsPage : PHONE.keepsOpen}</p>
      <p class="quiet">{STANDING_WORDS[state.standing]}</p>
      {state.links.map(({ link, state: standing, text, badLines }) => (
        <p key={link} class="quiet">
          {link}: {said(text) || `${LINK_WORDS[standing]}.`} {badLines > 0 && `${SAY.badLines(badLines)}.`}
        </p>
      ))}
      {readsBoard && <p class="quiet">{LINK.readsHere}</p>}
      {state.links.some(({ link }) => link === BROWSER_PORT) && (
        <a class="press choice" href="#/link">
          {LINK.title}
        </a>
      )}
      {state.garbled > 0 && <p class="quiet">{SAY.garbled(state.garbled)}</p>}
    </section>
  );
}
