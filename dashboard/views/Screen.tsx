/** One firing at one moment: the same parts whether it burns now or is watched again. */
import type { ComponentChildren } from 'preact';
import { alertHead } from '../alert-words.ts';
import type { Columns } from '../curve/columns.ts';
import { calls, standingAlerts } from '../firing.ts';
import type { Moment } from '../moment.ts';
import { saltingIsNear } from '../salting/salting-words.ts';
import type { Sentence } from '../sentence.ts';
import type { Settings } from '../settings.ts';
import { spokenNow } from '../spoken.ts';
import { Alerts } from './Alerts.tsx';
import { CareNow, Cautions } from './Cautions.tsx';
import { Curve } from './Curve.tsx';
import { Facts } from './Facts.tsx';
import { Figure } from './Figure.tsx';
import { Ground } from './Ground.tsx';
import { type BookHands, LogBook } from './LogBook.tsx';
import { SayFirst } from './SayFirst.tsx';
import { useSteadyScroll } from './steady-scroll.ts';

interface Props {
  moment: Moment;
  sentence: Sentence;
  columns: Columns;
  settings: Settings;
  banner: string | null;
  oldPage: boolean;
  rate: number;
  past: boolean;
  staleAfterMs: number;
  change(part: Partial<Settings>): void;
  onHeard?(alert: string): void;
  /** What a hand may do to the log book. */
  book?: BookHands;
  onCloser?(from: number, to: number): void;
  /** Above the sentence, whose length changes: what one plays a firing with must not move under the hand. */
  first?: ComponentChildren;
  beforeFigure?: ComponentChildren;
  /** The hands, at both edges of a wide screen. */
  hands?: ComponentChildren;
  /** Ways to the pages of the hour. */
  ways?: ComponentChildren;
  /** What else one may do, below the curve. */
  doing?: ComponentChildren;
}

export function Screen(props: Props) {
  const { moment, columns, settings } = props;
  const { unit } = settings;
  const told = props.sentence.alert;
  const under = useSteadyScroll();
  const urgentKey = standingAlerts(moment.firing, moment.log)
    .filter((alert) => alert.priority !== 'note' && calls(alert))
    .map(({ id }) => id)
    .join(' ');
  const heard = props.onHeard ? { onHeard: props.onHeard } : {};
  return (
    <div class={`screen ${props.hands ? 'has-hands' : ''}`}>
      <div class="top">
        {props.first}
        <SayFirst
          sentence={props.sentence}
          head={told && alertHead(told, moment.now)}
          aloud={spokenNow(moment, props.sentence, unit)}
          banner={props.banner}
          oldPage={props.oldPage}
          unit={unit}
          urgentKey={`${urgentKey} ${props.sentence.tone}`}
          {...heard}
        />
        {props.beforeFigure}
      </div>
      <Figure moment={moment} unit={unit} rate={props.rate} past={props.past} />
      {props.hands}
      {props.ways}
      <div class="middle">
        <Alerts moment={moment} unit={unit} toldAbove={told?.id ?? null} {...heard} />
        {!props.past && <CareNow stage={moment.firing.stage} saltingNear={saltingIsNear(moment)} />}
        <Curve
          moment={moment}
          columns={columns}
          unit={unit}
          {...(props.onCloser ? { onCloser: props.onCloser } : {})}
        />
      </div>
      <Facts moment={moment} columns={columns} unit={unit} past={props.past} />
      <div class="under" ref={under}>
        {props.doing}
        <Ground
          moment={moment}
          unit={unit}
          places={settings.places}
          staleAfterMs={props.staleAfterMs}
          onPlace={(probe, place) => props.change({ places: { ...settings.places, [probe]: place } })}
        />
        <LogBook moment={moment} unit={unit} {...(props.book ? { hands: props.book } : {})} />
        <Cautions stage={moment.firing.stage} />
      </div>
    </div>
  );
}
