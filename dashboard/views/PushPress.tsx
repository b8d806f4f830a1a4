/** Push to this phone: a press that turns it on, or in words why it cannot be and what to do. */

import type { Page } from '../page.ts';
import type { PageState } from '../state.ts';
import { PHONE, said } from '../words.ts';

export function PushPress({ page, ways }: { page: Page; ways: NonNullable<PageState['ways']> }) {
  const { push } = page;
  const standing = push.standing();
  const trouble = push.trouble();
  const key = ways.pushKey;
  const press = (words: string, onClick: () => void) => (
    <button type="button" class="press choice" onClick={onClick}>
      {words}
    </button>
  );
  return (
    <div class="push-here">
      {standing === 'not-secure' && (
        <p>
          {PHONE.pushNotSecure} {ways.secure === null ? PHONE.pushNotOffered : null}
          {ways.secure !== null && (
            <a class="press choice" href={ways.secure.trustPath}>
              {PHONE.toSecure}
            </a>
          )}
        </p>
      )}
      {standing === 'add-to-home' && <p>{PHONE.pushAddToHome}</p>}
      {standing === 'cannot' && <p>{PHONE.pushCannot}</p>}
      {standing === 'denied' && <p>{PHONE.pushDenied}</p>}
      {standing === 'asking' && <p>{PHONE.pushAsking}</p>}
      {(standing === 'off' || standing === 'denied') &&
        (key === null
          ? standing === 'off' && <p>{PHONE.pushNotOffered}</p>
          : press(PHONE.push, () => void push.ask(key)))}
      {standing === 'on' && (
        <p>
          {PHONE.pushOn}. {press(PHONE.noPush, () => void push.stop())}
        </p>
      )}
      {trouble !== null && <p role="alert">{PHONE.pushFailed(said(trouble))}</p>}
    </div>
  );
}
