/**
 * Which readings of a boot there are already, and what uptime each had: as ranges of seqs without a gap, with the
 * uptimes of their ends, and the newest ones exactly. Seqs and uptimes are carried on past 2^32.
 */

/** Beyond so many ranges the oldest gap is taken as closed: whoever loses so much will not fill it any more. */
const MOST_RANGES = 512;
/** So many of the newest readings are known to the millisecond. */
const EXACT = 1024;
/** A reading may be so many periods from where its seq predicts it. */
const TOLERANCE_PERIODS = 1.5;

interface SeenRange {
  from: number;
  to: number;
  fromUptimeMs: number;
  toUptimeMs: number;
}

export interface Ledger {
  seen: SeenRange[];
  exactSeq: Float64Array;
  exactUptimeMs: Float64Array;
}

export function newLedger(): Ledger {
  return {
    seen: [],
    exactSeq: new Float64Array(EXACT).fill(Number.NaN),
    exactUptimeMs: new Float64Array(EXACT),
  };
}

/** Index of the last range that begins at or before `seq`, or -1. */
function rangeAt({ seen }: Ledger, seq: number): number {
  const last = seen.length - 1;
  if (last >= 0 && (seen[last]?.from ?? 0) <= seq) return last;
  let low = 0;
  let high = last;
  while (low < high) {
    const mid = (low + high) >> 1;
    if ((seen[mid]?.from ?? 0) <= seq) low = mid + 1;
    else high = mid;
  }
  return low - 1;
}

/** Whether the reading is there already. */
export function isSeen(ledger: Ledger, seq: number): boolean {
  return seq <= (ledger.seen[rangeAt(ledger, seq)]?.to ?? Number.NEGATIVE_INFINITY);
}

/** Takes in a reading. One that is there already changes nothing. */
export function noteSeen(ledger: Ledger, seq: number, uptimeMs: number): void {
  const { seen } = ledger;
  const index = rangeAt(ledger, seq);
  const before = seen[index];
  const after = seen[index + 1];
  if (before !== undefined && seq <= before.to) return;
  const slot = ((seq % EXACT) + EXACT) % EXACT;
  if (!(Number(ledger.exactSeq[slot]) > seq)) {
    ledger.exactSeq[slot] = seq;
    ledger.exactUptimeMs[slot] = uptimeMs;
  }
  const followsBefore = before !== undefined && before.to + 1 === seq;
  const leadsAfter = after !== undefined && after.from - 1 === seq;
  if (followsBefore && leadsAfter) {
    before.to = after.to;
    before.toUptimeMs = after.toUptimeMs;
    seen.splice(index + 1, 1);
  } else if (followsBefore) {
    before.to = seq;
    before.toUptimeMs = uptimeMs;
  } else if (leadsAfter) {
    after.from = seq;
    after.fromUptimeMs = uptimeMs;
  } else {
    seen.splice(index + 1, 0, { from: seq, to: seq, fromUptimeMs: uptimeMs, toUptimeMs: uptimeMs });
    closeOldestGap(seen);
  }
}

function closeOldestGap(seen: SeenRange[]): void {
  const [first, second] = seen;
  if (seen.length <= MOST_RANGES || first === undefined || second === undefined) return;
  first.to = second.to;
  first.toUptimeMs = second.toUptimeMs;
  seen.splice(1, 1);
}

/** The uptime that a seq has, or would have, going by the readings around it. */
function predictUptimeMs(ledger: Ledger, seq: number, periodMs: number): number {
  const index = rangeAt(ledger, seq);
  const before = ledger.seen[index];
  const after = ledger.seen[index + 1];
  if (before !== undefined && seq <= before.to)
    return between(seq, before.from, before.fromUptimeMs, before.to, before.toUptimeMs);
  if (before !== undefined && after !== undefined)
    return between(seq, before.to, before.toUptimeMs, after.from, after.fromUptimeMs);
  if (after !== undefined) return after.fromUptimeMs - (after.from - seq) * paceMs(after, periodMs);
  return before === undefined ? Number.NaN : before.toUptimeMs + (seq - before.to) * paceMs(before, periodMs);
}

function between(seq: number, from: number, fromMs: number, to: number, toMs: number): number {
  return to === from ? fromMs : fromMs + ((toMs - fromMs) * (seq - from)) / (to - from);
}

function paceMs({ from, to, fromUptimeMs, toUptimeMs }: SeenRange, periodMs: number): number {
  return to === from ? periodMs : (toUptimeMs - fromUptimeMs) / (to - from);
}

/** For a reading that is not there yet: whether its uptime lies within 1.5 periods of what its seq predicts. */
export function isWherePredicted(ledger: Ledger, seq: number, uptimeMs: number, periodMs: number): boolean {
  return Math.abs(uptimeMs - predictUptimeMs(ledger, seq, periodMs)) <= TOLERANCE_PERIODS * periodMs;
}

/** For a reading that is there: whether it had this uptime, exactly for the newest, else as nearly as it is still known. */
export function hadUptime(ledger: Ledger, seq: number, uptimeMs: number, periodMs: number): boolean {
  const slot = ((seq % EXACT) + EXACT) % EXACT;
  if (ledger.exactSeq[slot] === seq) return ledger.exactUptimeMs[slot] === uptimeMs;
  return isWherePredicted(ledger, seq, uptimeMs, periodMs);
}

/** For a reading that is not there yet: whether its uptime lies between those of the readings before and after it. */
export function isBetweenNeighbours(ledger: Ledger, seq: number, uptimeMs: number): boolean {
  const index = rangeAt(ledger, seq);
  const before = ledger.seen[index]?.toUptimeMs ?? Number.NEGATIVE_INFINITY;
  const after = ledger.seen[index + 1]?.fromUptimeMs ?? Number.POSITIVE_INFINITY;
  return uptimeMs > before && uptimeMs < after;
}
