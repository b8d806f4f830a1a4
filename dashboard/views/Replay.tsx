/** A past firing watched again: the parts of the live page, fed from the record. */
import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import type { RecordedFiring } from '../../protocol/firing-record.ts';
import { type Columns, columnsFrom, emptyColumns, followTo, layInStretch } from '../curve/columns.ts';
import { fetchFiring, fetchStretch, zipAddress } from '../fetch-past.ts';
import { litAt } from '../firing.ts';
import { type LogLine, logLines } from '../log/log-lines.ts';
import { firingAt, newPlayer, type Player, playOn, SPEEDS, spanOf } from '../replay.ts';
import { sayIn, sayWhen } from '../say.ts';
import { sentenceOf } from '../sentence.ts';
import type { Settings } from '../settings.ts';
import { HISTORY, LEARN, RESULTS, SAY, SHEET } from '../words.ts';
import { useFollowed } from './hooks.ts';
import { Screen } from './Screen.tsx';
import { useFetched } from './use-fetched.ts';

interface Props {
  id: string;
  settings: Settings;
  change(part: Partial<Settings>): void;
}

/** The log book's lines that go by are read aloud at most so often: a listener needs as long for one. */
const SPEAK_EVERY_MS = 6000;
/** Rows enough for a look at an hour of a night. */
const WIDTH = 4000;

export function Replay({ id, settings, change }: Props) {
  const [fetched, again] = useFetched(() => fetchFiring(id, WIDTH), id);
  return (
    <div>
      <div class="way-back">
        <a class="press" href="#/past">
          {SAY.backToList}
        </a>
        <a class="press" href={`#/past/${encodeURIComponent(id)}/results`}>
          {RESULTS.title}
        </a>
        <a class="press" href={`#/compare/${encodeURIComponent(id)}`}>
          {LEARN.compareThis}
        </a>
        <a class="press" href={`#/past/${encodeURIComponent(id)}/sheet`}>
          {SHEET.print}
        </a>
        {fetched.state === 'here' && fetched.what.firing.endedAt !== null && (
          <a class="press" href={zipAddress(id)} download>
            {SHEET.takeAway}
          </a>
        )}
        <a class="press" href={`#/past/${encodeURIComponent(id)}/alerts`}>
          {HISTORY.ofPast}
        </a>
        {fetched.state === 'here' && <strong>{SAY.pastFiring(fetched.what.firing.name)}</strong>}
      </div>
      {fetched.state === 'loading' && <p>{SAY.pastLoading}</p>}
      {fetched.state === 'failed' && (
        <p>
          {SAY.firingFailed}{' '}
          <button type="button" class="press plain" onClick={again}>
            {SAY.tryAgain}
          </button>
        </p>
      )}
      {fetched.state === 'here' && <Watch record={fetched.what} settings={settings} change={change} />}
    </div>
  );
}

function Watch({ record, settings, change }: { record: RecordedFiring } & Omit<Props, 'id'>) {
  const span = spanOf(record);
  const [player, setPlayer] = useState<Player>(newPlayer(span ?? { from: 0, to: 0 }));
  const source = useMemo(() => columnsFrom(record.curve), [record]);
  const columns = useRef<Columns>(emptyColumns());
  const { playing } = player;
  useEffect(() => {
    if (!playing) return;
    let last = performance.now();
    // A tenth of a second is as fine as one can follow.
    const turnMs = 100;
    let frame = requestAnimationFrame(function turn() {
      const nowMs = performance.now();
      const passed = nowMs - last;
      if (passed >= turnMs) {
        last = nowMs;
        setPlayer((before) => playOn(before, passed));
      }
      frame = requestAnimationFrame(turn);
    });
    return () => cancelAnimationFrame(frame);
  }, [playing]);
  if (!span) return <p>{SAY.nothingRecorded}</p>;
  columns.current = followTo(columns.current, source, player.at);
  const firing = firingAt(record, player.at);
  const log = firing.log.map((row) => ({ ...row, pending: false }));
  const fresh = { ageMs: null, stale: false, quietForMs: null };
  const moment = { firing, log, now: player.at, fresh, links: [] };
  return (
    <Screen
      moment={moment}
      sentence={sentenceOf(moment, settings.unit, 'open')}
      columns={columns.current}
      settings={settings}
      banner={null}
      oldPage={false}
      rate={1}
      past={true}
      staleAfterMs={Number.POSITIVE_INFINITY}
      change={change}
      onCloser={(from, to) => {
        void fetchStretch(record.firing.id, from, to, window.innerWidth).then((stretch) => {
          if (!stretch) return;
          layInStretch(source, stretch);
          columns.current = emptyColumns();
          setPlayer((before) => ({ ...before }));
        });
      }}
      first={
        <Transport
          latest={logLines(moment, settings.unit)[0] ?? null}
          player={player}
          fromMs={litAt({ log: record.log, stages: record.stages }) ?? span.from}
          onChange={setPlayer}
        />
      }
    />
  );
}

interface TransportProps {
  player: Player;
  fromMs: number;
  /** The newest line of the log book: it speaks as the firing goes on. */
  latest: LogLine | null;
  onChange(player: Player): void;
}

/** Play, stop, how fast, and where. */
function Transport({ player, fromMs, latest, onChange }: TransportProps) {
  const passed = latest === null ? '' : `${sayWhen(latest.at, player.to)}: ${latest.words}`;
  const aloud = useFollowed(passed, SPEAK_EVERY_MS);
  const atEnd = player.at >= player.to;
  return (
    <div class="transport">
      <div class="group-row">
        <button
          type="button"
          class="press plain"
          onClick={() =>
            onChange({
              ...player,
              playing: !player.playing,
              at: atEnd && !player.playing ? player.from : player.at,
            })
          }
        >
          {player.playing ? SAY.pause : SAY.play}
        </button>
        {SPEEDS.map((speed) => (
          <button
            key={speed}
            type="button"
            class="press choice"
            aria-pressed={player.speed === speed}
            aria-label={`${SAY.speed} ${SAY.times(speed)}`}
            onClick={() => onChange({ ...player, speed })}
          >
            {SAY.times(speed)}
          </button>
        ))}
      </div>
      <label class="field wide">
        <span>
          {sayWhen(player.at, player.to)}, {sayIn(player.at - fromMs)}
        </span>
        <input
          type="range"
          aria-label={SAY.moment}
          min={player.from}
          max={player.to}
          step={60_000}
          value={player.at}
          aria-valuetext={sayIn(player.at - fromMs)}
          onInput={(event) => onChange({ ...player, at: Number(event.currentTarget.value) })}
        />
      </label>
      <div class="unseen" role="status">
        {aloud}
      </div>
      <p class="latest" aria-hidden="true">
        {latest && (
          <>
            <span class="quiet">{sayWhen(latest.at, player.to)}</span> {latest.words}
          </>
        )}
      </p>
    </div>
  );
}
