/** How one is called: on this phone, and by each way, whether it is armed and why, and a press that tries it. */
import type { Page } from '../page.ts';
import type { PageState } from '../state.ts';
import { HISTORY, PHONE, SAY, said, WAY_WORDS } from '../words.ts';
import { PushPress } from './PushPress.tsx';

/** The pages are tried by their own sounds. */
const NOT_TRIED_HERE: ReadonlySet<string> = new Set(['page']);

/** What is to be typed keeps to one line: `--https`. */
function Whole({ text }: { text: string }) {
  const parts = text.split(/(--[a-z-]+)/);
  return <>{parts.map((part, index) => (index % 2 === 1 ? <span class="nowrap">{part}</span> : part))}</>;
}

export function Calls({ page, state }: { page: Page; state: PageState }) {
  if (state.ways === null) return null;
  return (
    <section class="calls" aria-labelledby="calls-title">
      <h2 id="calls-title">{SAY.calls}</h2>
      <p>
        <strong>{page.push.standing() === 'on' ? PHONE.lockedIsPushed : PHONE.lockedIsMute}</strong>
      </p>
      <p>{page.sounder.armed() ? SAY.hereArmed : SAY.hereMute}</p>
      <PushPress page={page} ways={state.ways} />
      <ul class="ways">
        {state.ways.ways.map(({ way, armed, why }) => {
          const tried = state.tried.find((one) => one.way === way);
          return (
            <li key={way}>
              <span>
                <strong>{WAY_WORDS[way]}</strong>: {armed ? SAY.armed : SAY.notArmed}.{' '}
                <Whole text={said(why)} />
                {tried && (
                  <em>
                    {' '}
                    {tried.reached ? SAY.wayReached(said(tried.text)) : SAY.wayNotReached(said(tried.text))}
                  </em>
                )}
              </span>
              {armed && !NOT_TRIED_HERE.has(way) && (
                <button
                  type="button"
                  class="press choice"
                  aria-label={SAY.tryWay(WAY_WORDS[way])}
                  onClick={() => page.tryWay(way)}
                >
                  {SAY.tryIt}
                </button>
              )}
            </li>
          );
        })}
      </ul>
      {state.ways.phones.map(({ id, name, silent, armed }) => (
        <p key={id} class="quiet">
          {silent
            ? armed.includes('push')
              ? PHONE.lockedOrAway(name)
              : SAY.silentPhone(name)
            : SAY.heardPhone(name)}
        </p>
      ))}
      <a class="press choice to-history" href="#/alerts">
        {HISTORY.toHistory}
      </a>
    </section>
  );
}
