/** How one link of a firing stands, and what its board's lamp was told. */
import type { Standings } from '../../alerts/standing.ts';
import { formatCollectorLine } from '../../protocol/board-lines.ts';
import type { LinkStanding } from '../../protocol/live-messages.ts';
import { type JunkRun, newJunkRun } from './junk.ts';
import { lampLevel } from './lamp.ts';

/** The lamp is told so often, that the board knows somebody watches. */
const LAMP_EVERY_MS = 10_000;
const LOUDEST = 2;

export interface WatchedLink {
  /** As the desks know it, and as the page calls it. */
  name: string;
  shown: string;
  state: LinkStanding['state'];
  text: string;
  /** Input that never became a line. */
  dropped: number;
  linesHeard: number;
  /** Time of the last that it handed on, epoch ms; null before the first. */
  lastAt: number | null;
  lampSent: { level: number; at: number };
  /** Somebody tries the lamp: until then it calls its loudest. */
  lampTriedUntil: number;
  junk: JunkRun;
}

export function watchedLink(name: string, shown: string): WatchedLink {
  return {
    name,
    shown,
    state: 'connecting',
    text: 'Looking for the board.',
    dropped: 0,
    linesHeard: 0,
    lastAt: null,
    lampSent: { level: -1, at: Number.NEGATIVE_INFINITY },
    lampTriedUntil: Number.NEGATIVE_INFINITY,
    junk: newJunkRun(),
  };
}

/** A sentence about a link, which says which one it is of where there are `several`. */
export function aboutLink({ shown }: WatchedLink, text: string, several: boolean): string {
  return several && !text.includes(shown) ? `${shown}: ${text}` : text;
}

/** The lamp lines that are due at `at` (epoch ms), a link each: at a change, and every 10 s. */
export function lampLines(
  links: Iterable<WatchedLink>,
  standings: Standings,
  at: number,
): { link: string; line: string }[] {
  const stands = lampLevel(standings);
  const due: { link: string; line: string }[] = [];
  for (const link of links) {
    const { state, lampSent, lampTriedUntil } = link;
    const level = at < lampTriedUntil ? LOUDEST : stands;
    if (state !== 'open' || (level === lampSent.level && at - lampSent.at < LAMP_EVERY_MS)) continue;
    link.lampSent = { level, at };
    due.push({ link: link.name, line: formatCollectorLine({ kind: 'lamp', level }) });
  }
  return due;
}
