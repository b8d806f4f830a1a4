/** What a desk does as time goes by: asks again, gives up, and watches for silence. */
import { MINUTE_MS } from '../../protocol/units.ts';
import { settleAside } from './aside.ts';
import { ASK_AGAIN_MS, askHello, type Desk } from './desk-state.ts';
import type { DeskOutput } from './desk-types.ts';
import { askMissing, giveTimed } from './take.ts';

const SILENT_PERIODS = 5;
const REOPEN_PERIODS = 15;
/**
 * A board that claims to read faster or slower than this is watched as one that does so: what it says of itself may be
 * wrong (seconds for milliseconds), and must neither have its port opened again and again nor keep its silence unseen.
 */
const PERIOD_MS = { least: 1000, most: 600_000 };
/** Opening a port can restart the board. */
const REOPEN_AGAIN_MS = 5 * MINUTE_MS;
/** While no hello has come the period is not known, and any line at all ends the silence. */
const SILENT_UNKNOWN_MS = 10_000;
const REOPEN_UNKNOWN_MS = MINUTE_MS;
/** A board that cannot hear the collector will not say hello: then what waited is taken to be of the boot known. */
const WAIT_FOR_HELLO_MS = MINUTE_MS;

/** Once a second of firing time. */
export function takeTick(desk: Desk, at: number, out: DeskOutput[]): void {
  if (!desk.open) return;
  const speaksPlain = desk.plain !== null && !desk.framed;
  watchSilence(desk, at, speaksPlain, out);
  if (!speaksPlain) watchFramed(desk, at, out);
}

function watchFramed(desk: Desk, at: number, out: DeskOutput[]): void {
  const [oldest] = desk.aside;
  if (
    oldest !== undefined &&
    desk.current !== null &&
    at - Math.max(oldest.at, desk.openedAt) >= WAIT_FOR_HELLO_MS
  )
    settleAside(desk, desk.current, at, 'no hello', out);
  if (!desk.confirmed || desk.aside.length > 0) askHello(desk, at, ASK_AGAIN_MS, out);
  if (desk.current === null) return;
  giveTimed(desk.current, at, out);
  askMissing(desk, desk.current, at, out);
}

function watchSilence(desk: Desk, at: number, speaksPlain: boolean, out: DeskOutput[]): void {
  const saidMs = desk.current?.hello.periodMs ?? null;
  const periodMs = saidMs === null ? null : Math.min(Math.max(saidMs, PERIOD_MS.least), PERIOD_MS.most);
  const silentAfterMs = periodMs === null ? SILENT_UNKNOWN_MS : SILENT_PERIODS * periodMs;
  const reopenAfterMs = periodMs === null ? REOPEN_UNKNOWN_MS : REOPEN_PERIODS * periodMs;
  const silentMs = at - Math.max(periodMs === null ? desk.lineAt : desk.heardAt, desk.openedAt);
  if (silentMs < silentAfterMs) return;
  if (!desk.silent) out.push({ kind: 'silent', at: Math.round(at) });
  desk.silent = true;
  if (!speaksPlain) askHello(desk, at, silentAfterMs, out);
  if (silentMs < reopenAfterMs || at - desk.askedReopenAt < REOPEN_AGAIN_MS) return;
  desk.askedReopenAt = at;
  out.push({ kind: 'reopen', at: Math.round(at) });
}
