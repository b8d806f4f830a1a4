/** What was just pressed, for ten seconds, each with the button that takes it back; and what is still on its way. */
import type { TemperatureUnit } from '../../protocol/units.ts';
import { entryWords } from '../log-words.ts';
import { type PageState, UNDO_FOR_MS } from '../state.ts';
import { SAY, said } from '../words.ts';

interface Props {
  state: PageState;
  unit: TemperatureUnit;
  /** The browser keeps what waits. */
  keeps: boolean;
  onUndo(id: string): void;
  onRefusalRead(id: string): void;
  onThrowAway(firing: string): void;
}

export function TakeBack({ state, unit, keeps, onUndo, onRefusalRead, onThrowAway }: Props) {
  // Newest first: it lies lowest, next to the thumbs, and older ones are scrolled to.
  const shown = [...state.fresh].reverse();
  const heard = state.standing === 'open';
  const here = state.outbox.filter(({ firing }) => firing === state.firing?.summary.id);
  const elsewhere = groupOthers(state);
  const newest = shown[0];
  return (
    <div class="take-back">
      <div class="unseen" role="status">
        {newest && SAY.written(entryWords(newest.waiting.entry.log, newest.waiting.entry, unit))}
      </div>
      {state.refusals.map(({ id, text }) => (
        <div key={id} class="strip strip-refused" role="alert">
          <p>{SAY.refused(said(text))}</p>
          <button type="button" class="press plain" onClick={() => onRefusalRead(id)}>
            {SAY.seen}
          </button>
        </div>
      ))}
      {!heard && here.length > 0 && (
        <p class="strip">
          {SAY.waiting(here.length)} {keeps ? '' : SAY.notKept}
        </p>
      )}
      {elsewhere.map(([firing, count]) => (
        <div key={firing} class="strip">
          <p>{SAY.otherFiring(count, firing)}</p>
          <button type="button" class="press plain" onClick={() => onThrowAway(firing)}>
            {SAY.throwAway}
          </button>
        </div>
      ))}
      <div class="fresh">
        {shown.map(({ waiting, saidAtWallMs }) => {
          const words = entryWords(waiting.entry.log, waiting.entry, unit);
          // The page's time is told once a second: what was pressed since counts from there.
          const sinceMs = Math.max(0, state.wallMs - saidAtWallMs);
          const left = Math.max(1, Math.ceil((UNDO_FOR_MS - sinceMs) / 1000));
          return (
            <div key={waiting.entry.id} class="strip">
              <p>{words}</p>
              <button
                type="button"
                class="press plain"
                aria-label={SAY.undoOf(words)}
                onClick={() => onUndo(waiting.entry.id)}
              >
                {SAY.undo} <span class="seconds-left">{left}</span>
              </button>
            </div>
          );
        })}
      </div>
    </div>
  );
}

/** Entries that were made for another firing than the one that is shown, counted by firing. */
function groupOthers(state: PageState): [string, number][] {
  const counts = new Map<string, number>();
  for (const { firing } of state.outbox)
    if (state.firing && firing !== state.firing.summary.id) counts.set(firing, (counts.get(firing) ?? 0) + 1);
  return [...counts];
}
