/** The whole page: where one is, and what one has chosen. */
import { useEffect, useState } from 'preact/hooks';
import { liveMoment } from '../moment.ts';
import type { Page } from '../page.ts';
import { sentenceOf } from '../sentence.ts';
import type { Settings } from '../settings.ts';
import type { PageState } from '../state.ts';
import { SAY } from '../words.ts';
import { usePageState } from './hooks.ts';
import { Live } from './Live.tsx';
import { Past } from './Past.tsx';
import { Replay } from './Replay.tsx';
import { SoundButton } from './SoundButton.tsx';
import { ThisPage } from './ThisPage.tsx';

interface Props {
  page: Page;
  first: Settings;
  /** Keeps the choice and lets it take effect. */
  onSettings(settings: Settings): void;
}

function useRoute(): string[] {
  const [hash, setHash] = useState(location.hash);
  useEffect(() => {
    const follow = () => {
      setHash(location.hash);
      window.scrollTo(0, 0);
    };
    window.addEventListener('hashchange', follow);
    return () => window.removeEventListener('hashchange', follow);
  }, []);
  return hash.replace(/^#\/?/, '').split('/').map(decodeURIComponent);
}

/** Whoever looks at a past firing is told what the kiln wants now. */
function NowStrip({ state, unit }: { state: PageState; unit: Settings['unit'] }) {
  const moment = liveMoment(state);
  if (moment === null) return null;
  const { lines, tone } = sentenceOf(moment, unit, state.standing);
  if (tone === 'calm' || tone === 'heard') return null;
  return (
    <a class={`now-strip tone-${tone}`} href="#/">
      {SAY.nowAt(lines[0] ?? '')}
    </a>
  );
}

export function App({ page, first, onSettings }: Props) {
  const state = usePageState(page.store);
  const [settings, setSettings] = useState(first);
  const [where, which] = useRoute();
  const change = (part: Partial<Settings>) => {
    const next = { ...settings, ...part };
    setSettings(next);
    onSettings(next);
  };
  const past = where === 'past';
  return (
    <>
      <header class="head">
        <h1>
          {SAY.spyhole}
          {state.firing && !past && <span class="head-name">{state.firing.summary.name}</span>}
        </h1>
        <SoundButton sounder={page.sounder} onArm={() => void page.letItSound()} />
        <nav aria-label={SAY.pages}>
          <a href="#/" aria-current={past ? undefined : 'page'}>
            {SAY.now}
          </a>
          <a href="#/past" aria-label={SAY.past} aria-current={past ? 'page' : undefined}>
            {SAY.pastShort}
          </a>
        </nav>
      </header>
      <main>
        {past && <NowStrip state={state} unit={settings.unit} />}
        {!past && <Live page={page} state={state} settings={settings} change={change} />}
        {past && which === undefined && <Past unit={settings.unit} />}
        {past && which !== undefined && <Replay key={which} id={which} settings={settings} change={change} />}
      </main>
      <footer>
        <ThisPage
          settings={settings}
          change={change}
          state={state}
          sounder={page.sounder}
          onSound={() => void page.letItSound()}
        />
      </footer>
    </>
  );
}
