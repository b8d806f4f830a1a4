/** What is known of one boot of a board, and the judging of its readings by it. */
import type { Hello } from '../../protocol/board-lines.ts';
import type { Arrived, Judged } from './arrived.ts';
import { type Asks, newAsks } from './asks.ts';
import { type BoardClock, hostTimeOf, newBoardClock } from './board-clock.ts';
import { carryOn } from './counter32.ts';
import {
  hadUptime,
  isBetweenNeighbours,
  isSeen,
  isWherePredicted,
  type Ledger,
  newLedger,
} from './ledger.ts';
import { newPace, type Pace } from './pace.ts';
import { newUntimed, type Untimed } from './untimed.ts';

export interface Boot {
  /** As the board says it, but for a period that it does not keep. */
  hello: Hello;
  pace: Pace;
  ledger: Ledger;
  clock: BoardClock;
  untimed: Untimed;
  asks: Asks;
  /** The newest reading, carried on past 2^32. */
  newest: { seq: number; uptimeMs: number } | null;
  /** When the newest reading arrived, and when anything did that is of this boot for sure: epoch ms. */
  newestHeardAt: number;
  heardAt: number;
  /** Time of the newest reading that was not late; carried over from one boot of a board to the next. */
  liveAt: number;
  /** A boot of the same board went before: readings of this one are missed from its first on. */
  wholly: boolean;
  /** This boot cannot have begun before: epoch ms. */
  notBefore: number;
  /** The newest presses. */
  presses: { seq: number; uptimeMs: number }[];
  /** What the board's own temperature was at its newest reading that told it. */
  coldJunction: { tempC: number; uptimeMs: number } | null;
  /** All so far is out of the archive: how the computer's clock stands to that of this boot is not known again yet. */
  adopted: boolean;
}

const NEVER = Number.NEGATIVE_INFINITY;
/** Within so many periods the next reading is the next reading, though a board could have restarted meanwhile. */
const SILENT_PERIODS = 5;
/** Arrivals are not exact. */
const SLACK_PERIODS = 2;

/** A boot of which only the hello is known. `before`: the board's boot before it, if there was one. */
export function newBoot(hello: Hello, before: Boot | null): Boot {
  return {
    hello,
    pace: newPace(hello),
    ledger: newLedger(),
    clock: newBoardClock(),
    untimed: newUntimed(),
    asks: newAsks(),
    newest: null,
    newestHeardAt: NEVER,
    heardAt: NEVER,
    liveAt: before?.liveAt ?? NEVER,
    wholly: before !== null,
    notBefore: before === null ? NEVER : before.heardAt - SLACK_PERIODS * hello.periodMs,
    presses: [],
    coldJunction: null,
    adopted: false,
  };
}

/** A reading may seem to lie ahead of its arrival by so many periods: little has been seen of the board's clock yet. */
const AHEAD_PERIODS = 5;
/** A board's clock is rarely further off than this: 0.5 %, common practice for ceramic resonators, no source. */
const USUAL_RATE_ERROR = 0.005;

/** Whether `seqs` readings can be made in `ms`: a board may be twice as fast as it says, but not more. */
function canMake(seqs: number, ms: number, periodMs: number): boolean {
  return seqs <= (2 * ms) / periodMs + 3;
}

/** Whether `seqs` readings can take `ms`: up to twice as long as the board says. */
function canTake(seqs: number, ms: number, periodMs: number): boolean {
  return ms <= (2 * seqs + 3) * periodMs;
}

/**
 * Judges a reading as it comes. `inDoubt`: others wait already for a hello to say which boot they are of, and this one
 * may go with them.
 */
export function judge(boot: Boot, reading: Arrived, inDoubt: boolean): Judged {
  const judged = settle(boot, reading);
  const { seq, uptimeMs } = judged;
  const { periodMs } = boot.hello;
  if (judged.verdict === 'late' && !isWherePredicted(boot.ledger, seq, uptimeMs, periodMs))
    return { ...judged, verdict: 'unfit' };
  if (boot.newest === null) return judged;
  const live = judged.verdict === 'live';
  const plainlyNext =
    live && seq === boot.newest.seq + 1 && reading.at - boot.newestHeardAt <= SILENT_PERIODS * periodMs;
  const sure = inDoubt
    ? live && !mayBeOfLaterBoot(boot, reading)
    : plainlyNext || !mayBeOfLaterBoot(boot, reading);
  return sure ? judged : { ...judged, verdict: 'unfit' };
}

/**
 * Judges a reading that waited, once it is known that the board is in this boot: a late one may then lie anywhere
 * between its neighbours.
 */
export function settle(boot: Boot, { seq: seq32, uptimeMs: uptime32, at }: Arrived): Judged {
  const { newest, ledger, clock } = boot;
  if (newest === null) return { verdict: 'live', seq: seq32, uptimeMs: uptime32 };
  const { periodMs } = boot.hello;
  const seq = carryOn(seq32, newest.seq);
  const uptimeMs = carryOn(uptime32, newest.uptimeMs);
  const judged = (verdict: Judged['verdict']): Judged => ({ verdict, seq, uptimeMs });
  if (seq > newest.seq) {
    const forwardMs = uptimeMs - newest.uptimeMs;
    if (forwardMs <= 0 || !canMake(seq - newest.seq, forwardMs, periodMs)) return judged('unfit');
    // A board may stop for a while; then its uptime is ahead of its seq, but not of the computer's clock.
    const aheadMs = (hostTimeOf(clock, uptimeMs) ?? at) - at;
    const fits = canTake(seq - newest.seq, forwardMs, periodMs) || aheadMs <= AHEAD_PERIODS * periodMs;
    return judged(fits ? 'live' : 'unfit');
  }
  if (isSeen(ledger, seq)) return judged(hadUptime(ledger, seq, uptimeMs, periodMs) ? 'duplicate' : 'unfit');
  const fits =
    uptimeMs < newest.uptimeMs &&
    (isBetweenNeighbours(ledger, seq, uptimeMs) || isWherePredicted(ledger, seq, uptimeMs, periodMs));
  return judged(fits ? 'late' : 'unfit');
}

/** Whether a boot that began after this one was last heard can be so far by now. */
function mayBeOfLaterBoot(boot: Boot, reading: Arrived): boolean {
  return canMake(reading.seq, reading.uptimeMs, boot.hello.periodMs) && startedAfter(reading, boot.heardAt);
}

/** Whether the boot that a reading comes from can have begun after `hostMs`. */
function startedAfter({ uptimeMs, at }: Arrived, hostMs: number): boolean {
  return at - uptimeMs * (1 - USUAL_RATE_ERROR) >= hostMs;
}

/** Whether a reading that waited can be of this boot, going by the hello alone. */
export function canBeOf(boot: Boot, reading: Arrived): boolean {
  return reading.values.length === boot.hello.probes.length && startedAfter(reading, boot.notBefore);
}

/** Whether the later of two readings that fit no boot can follow the earlier one: they may be of a boot of their own. */
export function follows(later: Arrived, earlier: Arrived, periodMs: number): boolean {
  const seqs = carryOn(later.seq, earlier.seq) - earlier.seq;
  const ms = carryOn(later.uptimeMs, earlier.uptimeMs) - earlier.uptimeMs;
  return seqs > 0 && ms > 0 && canMake(seqs, ms, periodMs);
}
