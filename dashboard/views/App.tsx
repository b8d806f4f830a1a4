/** The whole page: where one is, and what one has chosen. */
import { useEffect, useState } from 'preact/hooks';
import type { Firing } from '../firing.ts';
import { liveMoment } from '../moment.ts';
import type { Page } from '../page.ts';
import { sentenceOf } from '../sentence.ts';
import type { Settings } from '../settings.ts';
import { paperOf, unitOf } from '../sheet/paper.ts';
import type { PageState } from '../state.ts';
import { PLAN, SALTING, SAY, STOKING } from '../words.ts';
import { AlertHistory } from './AlertHistory.tsx';
import { AwakeOffer } from './AwakePress.tsx';
import { Calls } from './Calls.tsx';
import { usePageState } from './hooks.ts';
import { later } from './Later.tsx';
import { Live } from './Live.tsx';
import { OtherKilns } from './OtherKilns.tsx';
import { PlanPage } from './PlanPage.tsx';
import { Replay } from './Replay.tsx';
import { SaltingPage } from './SaltingPage.tsx';
import { SoundButton } from './SoundButton.tsx';
import { StokingPage } from './StokingPage.tsx';
import { TakeBack } from './TakeBack.tsx';
import { ThisPage } from './ThisPage.tsx';

const BesidePage = later(async () => (await import('./BesidePage.tsx')).BesidePage);
const BoardCheck = later(async () => (await import('./BoardCheck.tsx')).BoardCheck);
const ImportPage = later(async () => (await import('./ImportPage.tsx')).ImportPage);
const LinkPage = later(async () => (await import('./LinkPage.tsx')).LinkPage);
const Past = later(async () => (await import('./Past.tsx')).Past);
const ResultsPage = later(async () => (await import('./ResultsPage.tsx')).ResultsPage);
const SheetPage = later(async () => (await import('./SheetPage.tsx')).SheetPage);

interface Props {
  page: Page;
  first: Settings;
  /** Keeps the choice and lets it take effect. */
  onSettings(settings: Settings): void;
}

/** The rooms of the page, as the header leads to them. */
const ROOMS = [
  { key: 'now', href: '#/', words: SAY.now, label: undefined },
  { key: 'plan', href: '#/plan', words: PLAN.short, label: PLAN.title },
  { key: 'past', href: '#/past', words: SAY.pastShort, label: SAY.past },
] as const;

/** What stands behind the hash; anything else is the live page, which says so. */
const ROOM_NAMES = [
  'past',
  'compare',
  'plan',
  'check',
  'link',
  'alerts',
  'salting',
  'stoking',
  'import',
] as const;

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
  return hash.replace(/^#\/?/, '').split('/').map(decoded);
}

/** A part of an address that somebody has mistyped stays as it is. */
function decoded(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    return part;
  }
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

/** Pages about a past firing, beside the one that plays it. */
const OF_A_FIRING: ReadonlySet<string> = new Set(['results', 'sheet', 'alerts']);

/** Changes whenever anything of the alerts does that their history tells. */
function alertNews({ alerts }: Firing): string {
  return alerts
    .map(({ alert: { id, acknowledged, shelved, suppressed, easing }, clearedAt }) =>
      [id, clearedAt, acknowledged?.at, shelved?.until, suppressed, easing].join(' '),
    )
    .join();
}

export function App({ page, first, onSettings }: Props) {
  const state = usePageState(page.store);
  const [settings, setSettings] = useState(first);
  const [where, which, part, ...asked] = useRoute();
  const unit = unitOf(asked[1], settings.unit);
  const change = (part: Partial<Settings>) => {
    const next = { ...settings, ...part };
    setSettings(next);
    onSettings(next);
  };
  const live = liveMoment(state);
  const room = ROOM_NAMES.find((name) => name === where) ?? 'now';
  return (
    <>
      <header class="head">
        <h1>
          {SAY.spyhole}
          {state.kiln !== null && <span class="head-name">{SAY.kilnCalled(state.kiln)}</span>}
          {state.firing && room !== 'past' && <span class="head-name">{state.firing.plan.name}</span>}
        </h1>
        <SoundButton sounder={page.sounder} onArm={() => void page.letItSound()} />
        <AwakeOffer awake={page.awake} sounds={page.sounder.armed()} />
        <nav aria-label={SAY.pages}>
          {ROOMS.map(({ key, href, words, label }) => (
            <a key={key} href={href} aria-label={label} aria-current={room === key ? 'page' : undefined}>
              {words}
            </a>
          ))}
        </nav>
      </header>
      <main>
        <OtherKilns others={state.others} unit={settings.unit} />
        {room === 'now' && where !== '' && <p class="no-such-page">{SAY.noSuchPage}</p>}
        {room !== 'now' && <NowStrip state={state} unit={settings.unit} />}
        {room === 'now' && <Live page={page} state={state} settings={settings} change={change} />}
        {room === 'plan' &&
          (live ? (
            <PlanPage key={live.firing.summary.id} firing={live.firing} unit={settings.unit} say={page.say} />
          ) : (
            <p>{PLAN.noFiring}</p>
          ))}
        {room === 'salting' &&
          (live ? (
            <SaltingPage page={page} moment={live} settings={settings} change={change} />
          ) : (
            <p>{SALTING.noFiring}</p>
          ))}
        {room === 'stoking' &&
          (live ? (
            <StokingPage page={page} moment={live} settings={settings} change={change} />
          ) : (
            <p>{STOKING.noFiring}</p>
          ))}
        {room === 'check' && <BoardCheck page={page} state={state} unit={settings.unit} />}
        {room === 'alerts' && live && (
          <AlertHistory
            id={live.firing.summary.id}
            unit={settings.unit}
            live={{ say: page.say, news: alertNews(live.firing), now: live.now }}
          />
        )}
        {room === 'past' && which !== undefined && part === 'alerts' && (
          <AlertHistory key={which} id={which} unit={settings.unit} live={null} />
        )}
        {room === 'link' && <LinkPage page={page} />}
        {room === 'import' && <ImportPage unit={settings.unit} />}
        {room === 'compare' && (
          <BesidePage
            key={[which, part, ...asked].join('/')}
            ids={[which, part, ...asked].flatMap((id) => id || [])}
            unit={settings.unit}
          />
        )}
        {room === 'past' && which === undefined && <Past unit={settings.unit} />}
        {room === 'past' && which !== undefined && part === 'results' && (
          <ResultsPage key={which} id={which} />
        )}
        {room === 'past' && which !== undefined && part === 'sheet' && (
          <SheetPage key={which} id={which} unit={unit} paper={paperOf(asked[0], unit)} change={change} />
        )}
        {room === 'past' && which !== undefined && !OF_A_FIRING.has(part ?? '') && (
          <Replay key={which} id={which} settings={settings} change={change} />
        )}
      </main>
      <TakeBack
        state={state}
        unit={settings.unit}
        keeps={page.keeps()}
        onUndo={page.takeBack}
        onRefusalRead={(id) => page.store.dispatch({ kind: 'refusal-read', id })}
        onThrowAway={(name) => page.throwAway(name)}
      />
      <footer>
        <Calls page={page} state={state} />
        <ThisPage
          settings={settings}
          change={change}
          state={state}
          sounder={page.sounder}
          awake={page.awake}
          readsBoard={page.readsBoard()}
          onSound={() => void page.letItSound()}
        />
      </footer>
    </>
  );
}
