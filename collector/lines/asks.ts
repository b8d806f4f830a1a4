/** Readings that are missing, and the asking for them: which are wanted, which have been asked for and how often. */
import { MOST_A_GIVE } from '../../protocol/board-lines.ts';
import { cutOut, joined, type Range } from './ranges.ts';

const REPEAT_AFTER_MS = 5000;
const MOST_REPEATS = 10;
/** So many questions are open at once: enough to keep the link busy, few enough for live readings to get through. */
const MOST_OPEN = 4;
/** Beyond so many gaps the oldest is given up. */
const MOST_GAPS = 256;

interface Ask {
  left: Range[];
  /** How often it has been asked again. */
  repeats: number;
  firstAt: number;
  /** When it was last asked for, or the board last answered anything. */
  lastAt: number;
}

export interface Asks {
  /** Not asked for yet. */
  wanted: Range[];
  open: Ask[];
}

export function newAsks(): Asks {
  return { wanted: [], open: [] };
}

/** Wants these readings, newer than all wanted so far. The answer is what has to be given up for it. */
export function want(asks: Asks, from: number, to: number): Range[] {
  asks.wanted.push({ from, to });
  return asks.wanted.length > MOST_GAPS ? asks.wanted.splice(0, asks.wanted.length - MOST_GAPS) : [];
}

/**
 * A reading has come late. The board answers one question after another, so while it answers any, none is put again:
 * over a slow link two hundred readings take longer than 5 s.
 */
export function noteGot(asks: Asks, seq: number, at: number): void {
  if (asks.wanted.length > 0) asks.wanted = cutOut(asks.wanted, seq, seq).left;
  const asked = asks.open.find(({ left }) => left.some(({ from, to }) => from <= seq && seq <= to));
  if (asked === undefined) return;
  asked.left = cutOut(asked.left, seq, seq).left;
  asks.open = asks.open.filter(({ left }) => left.length > 0);
  for (const ask of asks.open) ask.lastAt = at;
}

/** Forgets these readings, which are gone. The answer is those of them that were still missing. */
export function giveUp(asks: Asks, from: number, to: number): Range[] {
  const fromWanted = cutOut(asks.wanted, from, to);
  let gone = fromWanted.cut;
  asks.wanted = fromWanted.left;
  for (const ask of asks.open) {
    const { left, cut } = cutOut(ask.left, from, to);
    ask.left = left;
    gone = joined(gone, cut);
  }
  asks.open = asks.open.filter(({ left }) => left.length > 0);
  return gone;
}

/**
 * What to ask for now, at most 200 readings each, and what is gone: no longer kept by the board (`oldestKept` is the
 * oldest seq that it may still have), or asked for eleven times in vain. What was asked for while nothing at all was
 * heard (`heardAt`: when anything last was) is not gone but wanted again. With `quiet` nothing new is asked.
 */
export function nextAsks(
  asks: Asks,
  now: { at: number; oldestKept: number; heardAt: number; quiet: boolean },
): { give: Range[]; gone: Range[] } {
  const give: Range[] = [];
  const tooOld = cutOut(asks.wanted, Number.NEGATIVE_INFINITY, now.oldestKept - 1);
  let gone = tooOld.cut;
  asks.wanted = tooOld.left;
  const open: Ask[] = [];
  for (const ask of asks.open) {
    if (now.at - ask.lastAt < REPEAT_AFTER_MS) {
      open.push(ask);
    } else if (ask.repeats < MOST_REPEATS) {
      ask.repeats += 1;
      ask.lastAt = now.at;
      give.push(spanOf(ask.left));
      open.push(ask);
    } else if (now.heardAt > ask.firstAt) {
      gone = joined(gone, ask.left);
    } else {
      asks.wanted = joined(asks.wanted, ask.left);
    }
  }
  asks.open = open;
  while (!now.quiet && asks.open.length < MOST_OPEN) {
    const first = asks.wanted[0];
    if (first === undefined) break;
    const to = Math.min(first.to, first.from + MOST_A_GIVE - 1);
    asks.wanted = cutOut(asks.wanted, first.from, to).left;
    asks.open.push({ left: [{ from: first.from, to }], repeats: 0, firstAt: now.at, lastAt: now.at });
    give.push({ from: first.from, to });
  }
  return { give, gone };
}

/** The questions were put to a link that is gone: they are to be put again. */
export function takeBack(asks: Asks): void {
  for (const { left } of asks.open) asks.wanted = joined(asks.wanted, left);
  asks.open = [];
}

/** Everything that is still missing. */
export function allMissing({ wanted, open }: Asks): Range[] {
  return open.reduce((ranges, { left }) => joined(ranges, left), wanted);
}

function spanOf(ranges: readonly Range[]): Range {
  return { from: ranges[0]?.from ?? 0, to: ranges.at(-1)?.to ?? 0 };
}
