/** The firing that burns now. */
import { fetchStretch } from '../fetch-past.ts';
import { type Firing, isClosed, litAt } from '../firing.ts';
import { freshnessOf } from '../freshness.ts';
import { liveMoment } from '../moment.ts';
import type { Page } from '../page.ts';
import { saltIsAtHand } from '../salt.ts';
import { sayDecimal } from '../say.ts';
import { sentenceOf, sentenceWithoutFiring } from '../sentence.ts';
import type { Settings } from '../settings.ts';
import type { PageState } from '../state.ts';
import { CHECK, PLAN, RESULTS, SAY } from '../words.ts';
import { AtTheKiln } from './AtTheKiln.tsx';
import { Hands } from './Hands.tsx';
import { PressButton } from './PressButton.tsx';
import { SayFirst } from './SayFirst.tsx';
import { Screen } from './Screen.tsx';
import { TendWays } from './TendWays.tsx';

interface Props {
  page: Page;
  state: PageState;
  settings: Settings;
  change(part: Partial<Settings>): void;
}

/** What feeds the page, where that is no real kiln. */
function bannerOf(state: PageState): string | null {
  const clock = state.clock;
  if (!clock || clock.source === 'board') return null;
  const rate = sayDecimal(Math.round(clock.rate * 10) / 10);
  if (clock.source === 'demo') return clock.rate === 1 ? SAY.demoAtOnce : SAY.demo(rate);
  return clock.rate === 1 ? SAY.captureAtOnce : SAY.capture(rate);
}

/** Before that nothing has come out. */
function mayBeOpened({ stage, alerts }: Firing): boolean {
  const coolEnough = ({ alert, clearedAt }: Firing['alerts'][number]) =>
    alert.name === 'ready-to-unbrick' && clearedAt === null;
  return stage === 'open' || (stage === 'cooling' && alerts.some(coolEnough));
}

export function Live({ page, state, settings, change }: Props) {
  const { store } = page;
  const fresh = freshnessOf(state);
  const moment = liveMoment(state);
  const oldPage = state.standing === 'old-page';
  if (moment === null) {
    const sentence = sentenceWithoutFiring(state.standing, fresh.quietForMs);
    return (
      <SayFirst
        sentence={sentence}
        head={null}
        aloud={{ text: sentence.lines.join(' '), key: state.standing }}
        banner={null}
        oldPage={oldPage}
        unit={settings.unit}
        urgentKey={state.standing}
      />
    );
  }
  const { firing, log } = moment;
  const columns = store.columns();
  const lit = litAt({ log, stages: firing.stages }) !== null;
  // The room is the curve's.
  const closed = isClosed(moment);
  const opens = mayBeOpened(firing);
  return (
    <Screen
      moment={moment}
      sentence={sentenceOf(moment, settings.unit, state.standing)}
      columns={columns}
      settings={settings}
      banner={bannerOf(state)}
      oldPage={oldPage}
      rate={state.clock?.rate ?? 1}
      past={false}
      staleAfterMs={fresh.staleAfterMs}
      change={change}
      book={{
        here: page.here,
        mend: (row, at) => page.say({ ...row.json, log: row.log, at, mends: row.id }),
        undo: page.undo,
      }}
      onHeard={(alert) => page.say({ log: 'ack', alert })}
      onCloser={(from, to) => {
        void fetchStretch(firing.summary.id, from, to, window.innerWidth).then((stretch) => {
          if (stretch) store.refine(stretch);
        });
      }}
      beforeFigure={
        lit ? (
          opens && (
            <a class="press" href={`#/past/${encodeURIComponent(firing.summary.id)}/results`}>
              {RESULTS.title}
            </a>
          )
        ) : (
          <>
            <PressButton class="hand-press" onPress={() => page.say({ log: 'light-up' })}>
              <span class="press-word">{SAY.lightUp}</span>
            </PressButton>
            <div class="before-ways">
              <a class="press" href="#/plan">
                {PLAN.toPlan}
              </a>
              <a class="press" href="#/check">
                {CHECK.toCheck}
              </a>
            </div>
          </>
        )
      }
      hands={
        closed ? undefined : (
          <Hands
            moment={moment}
            unit={settings.unit}
            charges={settings.charges}
            stokeKg={settings.stokeKg}
            salts={saltIsAtHand(moment, columns.kiln)}
            say={page.say}
          />
        )
      }
      ways={<TendWays moment={moment} />}
      doing={<AtTheKiln moment={moment} settings={settings} change={change} say={page.say} />}
    />
  );
}
