/** Readings and presses that are of the boot for sure: timed, entered, given out. */
import { rangeLength } from '../../protocol/board-lines.ts';
import type { Arrived, ArrivedPress, Judged } from './arrived.ts';
import { allMissing, nextAsks, noteGot, want } from './asks.ts';
import { clockPutRight, hostTimeOf, noteArrival } from './board-clock.ts';
import type { Boot } from './boot.ts';
import { asCounter, carryOn } from './counter32.ts';
import { type Desk, send } from './desk-state.ts';
import type { DeskOutput } from './desk-types.ts';
import { noteSeen } from './ledger.ts';
import { truePeriodMs } from './pace.ts';
import type { Range } from './ranges.ts';
import { canTime, noteInTime, takeTimed, takeWaiting, type UntimedReading } from './untimed.ts';

const PRESSES_KEPT = 16;
/** After a restart of the collector the two clocks are one if they are no further apart: so much, and that share of the time between. */
const CLOCKS_APART = { ms: 5000, share: 0.02 };

/** The newest reading of the boot: it steadies the clock, and shows which were missed before it. */
export function takeLive(desk: Desk, boot: Boot, reading: Arrived, judged: Judged, out: DeskOutput[]): void {
  const { seq, uptimeMs } = judged;
  enterLive(
    desk,
    boot,
    judged,
    boot.adopted ? compareClocks(boot, judged, reading.at, out) : reading.at,
    out,
  );
  if (reading.coldJunctionC !== null) boot.coldJunction = { tempC: reading.coldJunctionC, uptimeMs };
  const steadied = Math.round(hostTimeOf(boot.clock, uptimeMs) ?? reading.at);
  boot.liveAt = Math.max(steadied, boot.liveAt + 1);
  give(boot, reading, seq, boot.liveAt, false, out);
  giveTimed(boot, reading.at, out);
}

/**
 * The first reading of a boot that is known from before the collector was started again: its board has counted on
 * meanwhile, whatever became of the computer's clock. The answer is when the reading arrived. A clock that was set back
 * is behind, which is told; after one that was set forward, the board's time goes on from there.
 */
function compareClocks(boot: Boot, { uptimeMs }: Judged, at: number, out: DeskOutput[]): number {
  boot.adopted = false;
  const predicted = hostTimeOf(boot.clock, uptimeMs);
  if (predicted === null) return at;
  const sinceMs = uptimeMs - (boot.newest?.uptimeMs ?? uptimeMs);
  const apartMs = predicted - at;
  if (Math.abs(apartMs) <= CLOCKS_APART.ms + CLOCKS_APART.share * sinceMs) return at;
  if (apartMs > 0) {
    out.push({ kind: 'behind', at: Math.round(at), byMs: Math.round(apartMs) });
    return predicted;
  }
  boot.clock = clockPutRight(boot.clock);
  return at;
}

/** As `takeLive`, for a reading that was given out before the collector was started again. */
export function enterLive(desk: Desk, boot: Boot, judged: Judged, at: number, out: DeskOutput[]): void {
  const { seq, uptimeMs } = judged;
  const next = boot.newest !== null ? boot.newest.seq + 1 : boot.wholly ? 0 : seq;
  if (seq > next) tellMissing(desk, boot, want(boot.asks, next, seq - 1), at, out);
  noteSeen(boot.ledger, seq, uptimeMs);
  noteArrival(boot.clock, uptimeMs, at);
  noteInTime(boot.untimed, uptimeMs - (boot.newest?.uptimeMs ?? uptimeMs));
  boot.newest = { seq, uptimeMs };
  boot.newestHeardAt = at;
  // Not its arrival: between the two the board may have restarted.
  boot.heardAt = Math.max(boot.heardAt, hostTimeOf(boot.clock, uptimeMs) ?? at);
}

/** A reading that comes after later ones. The board's clock says when it was, as soon as it is known well enough. */
function takeLate(desk: Desk, boot: Boot, reading: Arrived, judged: Judged, out: DeskOutput[]): void {
  noteSeen(boot.ledger, judged.seq, judged.uptimeMs);
  noteGot(boot.asks, judged.seq, reading.at);
  desk.counts.late += 1;
  if (canTime(boot.untimed)) giveLate(boot, [{ reading, judged }], out);
  else boot.untimed.waiting.push({ reading, judged });
}

function giveLate(boot: Boot, late: readonly UntimedReading[], out: DeskOutput[]): void {
  for (const { reading, judged } of late)
    give(
      boot,
      reading,
      judged.seq,
      Math.round(hostTimeOf(boot.clock, judged.uptimeMs) ?? reading.at),
      true,
      out,
    );
}

/** Gives out the late readings that have waited for their time, if it can be told by now. */
export function giveTimed(boot: Boot, at: number, out: DeskOutput[]): void {
  giveLate(boot, takeTimed(boot.untimed, at), out);
}

/** Gives out the late readings that wait, as well as they can be timed: nothing more comes of this boot for now. */
export function giveWaiting(boot: Boot, out: DeskOutput[]): void {
  giveLate(boot, takeWaiting(boot.untimed), out);
}

/** Enters a reading whose boot is known; false if it cannot be. */
export function enter(desk: Desk, boot: Boot, reading: Arrived, judged: Judged, out: DeskOutput[]): boolean {
  switch (judged.verdict) {
    case 'live':
      takeLive(desk, boot, reading, judged, out);
      watchPace(boot, judged, reading.at, out);
      return true;
    case 'late':
      takeLate(desk, boot, reading, judged, out);
      return true;
    case 'duplicate':
      desk.counts.duplicates += 1;
      return true;
    default:
      return false;
  }
}

/** A board that does not read as often as it says is taken by what it does. */
function watchPace(boot: Boot, { seq, uptimeMs }: Judged, at: number, out: DeskOutput[]): void {
  const keptMs = truePeriodMs(boot.pace, { seq, uptimeMs, at }, boot.hello.periodMs);
  if (keptMs === null) return;
  const { saidMs } = boot.pace;
  boot.hello = { ...boot.hello, periodMs: keptMs };
  out.push({ kind: 'odd-period', at: Math.round(at), board: boot.hello.board, saidMs, keptMs });
  out.push({ kind: 'hello', at: Math.round(at), hello: boot.hello });
}

/** A press, once. */
export function takePress(desk: Desk, boot: Boot, press: ArrivedPress, out: DeskOutput[]): void {
  const { seq, uptimeMs, button } = press;
  if (isKnownPress(boot, press)) {
    desk.counts.duplicates += 1;
    return;
  }
  boot.presses.push({ seq, uptimeMs });
  if (boot.presses.length > PRESSES_KEPT) boot.presses.shift();
  const { board, boot: bootId } = boot.hello;
  const pressedAt = boot.newest && hostTimeOf(boot.clock, carryOn(uptimeMs, boot.newest.uptimeMs));
  const at = Math.round(Math.min(pressedAt ?? press.at, press.at));
  out.push({ kind: 'button', at, board, boot: bootId, seq, button });
}

export function isKnownPress(boot: Boot, { seq, uptimeMs }: ArrivedPress): boolean {
  return boot.presses.some((press) => press.seq === seq && press.uptimeMs === uptimeMs);
}

/** Asks the board for what is missing, if now is the time. */
export function askMissing(desk: Desk, boot: Boot, at: number, out: DeskOutput[]): void {
  if (!desk.open || !desk.confirmed || desk.aside.length > 0 || boot.newest === null) return;
  const oldestKept = boot.newest.seq - boot.hello.keeps;
  const { give, gone } = nextAsks(boot.asks, { at, oldestKept, heardAt: desk.heardAt, quiet: desk.silent });
  tellMissing(desk, boot, gone, at, out);
  for (const { from, to } of give) out.push(send({ kind: 'give', from: asCounter(from), to: asCounter(to) }));
}

/** These readings are gone for good. */
export function tellMissing(
  desk: Desk,
  boot: Boot,
  gone: readonly Range[],
  at: number,
  out: DeskOutput[],
): void {
  for (const range of gone) {
    const from = asCounter(range.from);
    const to = asCounter(range.to);
    desk.counts.missing += rangeLength(from, to);
    const { board, boot: bootId } = boot.hello;
    out.push({ kind: 'missing', at: Math.round(at), board, boot: bootId, from, to });
  }
}

/** The boot is over: what is missing of it stays missing. */
export function tellAllMissing(desk: Desk, boot: Boot, at: number, out: DeskOutput[]): void {
  giveWaiting(boot, out);
  tellMissing(desk, boot, allMissing(boot.asks), at, out);
}

function give(boot: Boot, reading: Arrived, seq: number, at: number, late: boolean, out: DeskOutput[]): void {
  const { board, boot: bootId, probes } = boot.hello;
  out.push({
    kind: 'reading',
    reading: {
      kind: 'reading',
      at,
      board,
      boot: bootId,
      seq: asCounter(seq),
      uptimeMs: reading.uptimeMs,
      coldJunctionC: reading.coldJunctionC,
      values: probes.map(({ name }, i) => ({ probe: name, raw: reading.values[i] ?? null })),
      late,
    },
  });
}
