/** Keeps the screen on by a press, or says why the browser does not and what to do instead. */

import type { Awake } from '../awake.ts';
import { PHONE } from '../words.ts';

/** A mouse has no screen that goes dark in a pocket. */
const AT_HAND = matchMedia('(pointer: coarse)');

/** Beside the name of the page: offered once it may sound, and told when the screen was let go of. */
export function AwakeOffer({ awake, sounds }: { awake: Awake; sounds: boolean }) {
  const standing = awake.standing();
  const offered = standing === 'lost' || (standing === 'off' && sounds && AT_HAND.matches);
  if (!offered) return null;
  return (
    <button type="button" class="press plain sound" onClick={() => void awake.keepOn()}>
      <span>{PHONE.keepLit}</span>
      <span class="press-small">{PHONE.goesDark}</span>
    </button>
  );
}

export function AwakePress({ awake }: { awake: Awake }) {
  const standing = awake.standing();
  if (standing === 'not-secure') return <p>{PHONE.screenNotSecure}</p>;
  if (standing === 'cannot') return <p>{PHONE.screenCannot}</p>;
  return (
    <>
      <button
        type="button"
        class="press choice"
        aria-pressed={standing !== 'off'}
        onClick={() => void (standing === 'on' ? awake.letGo() : awake.keepOn())}
      >
        {PHONE.keepOn}
      </button>
      {standing === 'on' && <p class="quiet">{PHONE.screenStaysOn}</p>}
      {standing === 'lost' && <p role="alert">{PHONE.screenLost}</p>}
    </>
  );
}
