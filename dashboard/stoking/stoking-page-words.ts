/** The words of the stoking page. Pure. */
import { type HoleRhythm, rhythmByHole } from '../../collector/core/stoke-rhythm.ts';
import type { Hole } from '../../collector/core/stoking.ts';
import { countingEntries } from '../firing.ts';
import type { Moment } from '../moment.ts';
import { sayAbout, sayShort, sayStretch } from '../say.ts';
import { SAY, STOKING } from '../words.ts';

export interface StokeAdvice {
  what: string;
  more: string | null;
  tone: 'go' | 'rest';
}

const ANY_MOMENT_MS = 45_000;

/** When to stoke, to be read from two metres. */
export function stokeAdvice({ firing, now, fresh }: Moment): StokeAdvice {
  const { stoking, stage } = firing;
  if (stage === 'cooling' || stage === 'open' || stage === 'before')
    return { what: STOKING.notFired, more: null, tone: 'rest' };
  const next = fresh.stale ? null : (stoking?.next ?? null);
  if (stoking === null || next === null)
    return { what: STOKING.unknown, more: STOKING.unknownMore, tone: 'go' };
  const name = next.hole && (next.hole === 'left' ? SAY.leftHole : SAY.rightHole);
  if (next.peaked) {
    const more = [STOKING.nowMore, name && STOKING.nowHole(name)].filter(Boolean).join(' ');
    return { what: STOKING.now, more, tone: 'go' };
  }
  const hole = name && STOKING.nextHole(name);
  const left = (ms: number) => Math.max(0, stoking.at + ms - now);
  const midMs = left(next.dueInMs.mid);
  if (midMs < ANY_MOMENT_MS) return { what: STOKING.soon, more: hole ?? STOKING.soonMore, tone: 'rest' };
  const range = sayStretch(left(next.dueInMs.low), left(next.dueInMs.high));
  const more = [range, hole].filter((word) => word !== null).join(', ');
  return { what: STOKING.wait(sayAbout(midMs)), more: more === '' ? null : more, tone: 'rest' };
}

/** The rhythm of both holes as logged. */
export function holesOf({ log }: Pick<Moment, 'log'>): Record<Hole, HoleRhythm> {
  return rhythmByHole(
    countingEntries(log).flatMap(({ at, log: word, json }) =>
      word === 'stoke' && (json.hole === 'left' || json.hole === 'right') ? [{ at, hole: json.hole }] : [],
    ),
  );
}

export function everyWords({ everyMs }: HoleRhythm): string {
  return everyMs === null ? STOKING.noRhythm : STOKING.every(sayShort(everyMs));
}

/** Whether the wood lasts to the end; null where one of the two is not known. */
export function woodLasts(fuel: { lastsMs: number | null; toEndMs: number | null }): string | null {
  if (fuel.lastsMs === null || fuel.toEndMs === null) return null;
  return fuel.lastsMs >= fuel.toEndMs ? STOKING.enough : STOKING.short;
}
