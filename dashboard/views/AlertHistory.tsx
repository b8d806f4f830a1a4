/** What has called in a firing: what and why, who answered it when and where, why it ended, and the curve around it. */
import { useEffect, useMemo, useState } from 'preact/hooks';
import type { AlertHistory as History } from '../../protocol/firing-record.ts';
import type { TemperatureUnit } from '../../protocol/units.ts';
import { alertHead } from '../alert-words.ts';
import { columnsFrom } from '../curve/columns.ts';
import { fetchAlerts, fetchFiring } from '../fetch-past.ts';
import { calls } from '../firing.ts';
import type { Page } from '../page.ts';
import { firingAt } from '../replay.ts';
import { inOneUnit, saySpan, sayWhen } from '../say.ts';
import { CHECK, HISTORY, PRIORITY_WORDS, SAY } from '../words.ts';
import { Curve } from './Curve.tsx';
import { PriorityShape } from './icons.tsx';
import { PressButton } from './PressButton.tsx';

interface Props {
  id: string;
  unit: TemperatureUnit;
  /** The firing that burns now: what stands may be put aside. `news` changes when anything of its alerts does. */
  live: { say: Page['say']; news: string; now: number } | null;
}

type Told = History['alerts'][number];

const QUIET_MIN = 30;
const DEAF_FOR_MS = 700;

export function AlertHistory({ id, unit, live }: Props) {
  const [told, setTold] = useState<Told[] | null | 'failed'>(null);
  const [round, setRound] = useState(0);
  const [withNotes, setWithNotes] = useState(false);
  const news = `${live?.news ?? ''} ${round}`;
  // What was shown stays until the newer is here.
  useEffect(() => {
    let wanted = news !== '';
    void fetchAlerts(id).then((found) => {
      if (wanted) setTold(found?.alerts.toReversed() ?? 'failed');
    });
    return () => {
      wanted = false;
    };
  }, [id, news]);
  const all = Array.isArray(told) ? told : [];
  const notes = all.filter(({ alert }) => alert.priority === 'note').length;
  const shown = all.filter(({ alert }) => withNotes || alert.priority !== 'note');
  const back = live ? '#/' : `#/past/${encodeURIComponent(id)}`;
  return (
    <article class="history" aria-labelledby="history-title">
      <div class="way-back">
        <a class="press" href={back}>
          {live ? CHECK.back : SAY.backToFiring}
        </a>
        <h2 id="history-title">{HISTORY.title}</h2>
      </div>
      {told === null && <p>{SAY.pastLoading}</p>}
      {told === 'failed' && (
        <p>
          {HISTORY.failed}{' '}
          <button type="button" class="press plain" onClick={() => setRound(round + 1)}>
            {SAY.tryAgain}
          </button>
        </p>
      )}
      {Array.isArray(told) && shown.length === 0 && <p>{HISTORY.none}</p>}
      {notes > 0 && (
        <button
          type="button"
          class="press choice"
          aria-pressed={withNotes}
          onClick={() => setWithNotes(!withNotes)}
        >
          {HISTORY.notes(notes)}
        </button>
      )}
      {shown.length > 0 && (
        <ul class="history-list">
          {shown.map((one) => (
            <OneAlert key={one.alert.id} firing={id} told={one} unit={unit} live={live} />
          ))}
        </ul>
      )}
    </article>
  );
}

function OneAlert({ firing, told, unit, live }: { firing: string; told: Told } & Omit<Props, 'id'>) {
  const [open, setOpen] = useState(false);
  const { alert, clearedAt, clearedText } = told;
  const text = inOneUnit(alert.raisedText ?? alert.text, unit);
  const now = live?.now ?? clearedAt ?? alert.raisedAt;
  const stands = clearedAt === null && live !== null;
  // One that eases, was heard or put aside stands still, and calls nobody.
  const called = stands && (alert.priority === 'note' || calls(alert));
  const word = clearedAt === null ? alertHead(alert, now).word : PRIORITY_WORDS[alert.priority];
  return (
    <li class={`history-alert ${called ? `is-${alert.priority}` : ''}`}>
      <p class="alert-priority">
        <PriorityShape priority={alert.priority} />
        <strong>{word}</strong>
        <span class="alert-since">
          {clearedAt === null
            ? HISTORY.from(sayWhen(alert.raisedAt, now))
            : HISTORY.fromTo(
                sayWhen(alert.raisedAt, now),
                sayWhen(clearedAt, now),
                saySpan(clearedAt - alert.raisedAt),
              )}
        </span>
      </p>
      <p class="history-text">{text}</p>
      {clearedText && <p>{HISTORY.ended(inOneUnit(clearedText, unit))}</p>}
      <p>{answerWords(told, now)}</p>
      {stands && alert.suppressed && <p>{HISTORY.outOfStage}</p>}
      <div class="group-row">
        <button
          type="button"
          class="press choice"
          aria-expanded={open}
          aria-label={open ? HISTORY.hideOf(text) : HISTORY.curveOf(text)}
          onClick={() => setOpen(!open)}
        >
          {open ? HISTORY.hideCurve : HISTORY.showCurve}
        </button>
        {stands && live && <Shelf told={told} text={text} now={now} say={live.say} />}
      </div>
      {open && <Around firing={firing} around={told.around} unit={unit} />}
    </li>
  );
}

/** Who has answered it, when and where; or what was done that answers it. */
function answerWords({ alert }: Told, now: number): string {
  const { acknowledged, priority } = alert;
  if (acknowledged === null) return priority === 'note' ? HISTORY.wantsNone : HISTORY.nobody;
  const when = sayWhen(acknowledged.at, now);
  if (acknowledged.by) return HISTORY.byItself(HISTORY.done[acknowledged.by] ?? acknowledged.by, when);
  const where = acknowledged.where?.startsWith('phone ') ? `, ${acknowledged.where}` : '';
  return HISTORY.heard(`${acknowledged.who ?? HISTORY.somebody}${where}`, when);
}

function Shelf({ told, text, now, say }: { told: Told; text: string; now: number; say: Page['say'] }) {
  const { id, shelved, priority } = told.alert;
  const put = (minutes: number) => say({ log: 'shelve', alert: id, minutes });
  if (shelved)
    return (
      <>
        <PressButton
          key="call-again"
          class="choice"
          label={HISTORY.callAgainOf(text)}
          // A second bounce of the thumb that put it aside is no press of this one.
          deafForMs={DEAF_FOR_MS}
          onPress={() => put(0)}
        >
          {HISTORY.callAgain}
        </PressButton>
        <span>{HISTORY.quietUntil(sayWhen(shelved.until, now), shelved.who ?? HISTORY.somebody)}</span>
      </>
    );
  if (priority === 'note') return null;
  return (
    <PressButton key="quiet" class="choice" label={HISTORY.quietOf(text)} onPress={() => put(QUIET_MIN)}>
      {HISTORY.quiet}
    </PressButton>
  );
}

/** The curve of that stretch alone, with the marks of what was done in it. */
function Around({
  firing: id,
  around,
  unit,
}: {
  firing: string;
  around: Told['around'];
  unit: TemperatureUnit;
}) {
  const [record, setRecord] = useState<Awaited<ReturnType<typeof fetchFiring>> | 'loading'>('loading');
  const { from, to } = around;
  useEffect(() => {
    void fetchFiring(id, window.innerWidth, { from, to }).then(setRecord);
  }, [id, from, to]);
  const shown = useMemo(() => {
    if (record === null || record === 'loading') return null;
    const firing = firingAt(record, to);
    const log = firing.log.map((row) => ({ ...row, pending: false }));
    const fresh = { ageMs: null, stale: false, quietForMs: null };
    return { columns: columnsFrom(record.curve), moment: { firing, log, now: to, fresh, links: [] } };
  }, [record, to]);
  if (record === 'loading') return <p>{SAY.pastLoading}</p>;
  if (shown === null) return <p>{HISTORY.failed}</p>;
  return <Curve moment={shown.moment} columns={shown.columns} unit={unit} />;
}
