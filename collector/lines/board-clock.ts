/**
 * The steadied time of a reading. A line arrives late by as much as the link and the computer please, but never early,
 * so arrivals plotted over the board's uptime lie on or above a line: the board's clock as the host sees it. The line
 * is fitted to their lower envelope over the last 30 min that were heard: of all lines below all points, the one with the least sum of
 * distances to them. That is the edge of their lower convex hull above the mean uptime (Moon, Skelly & Towsley,
 * Estimation and removal of clock skew from network delay measurements, INFOCOM 1999; cited from memory).
 *
 * Points that are not on the hull of their own minute cannot be on the hull of all, so only those hulls are kept.
 */
import { HOUR_MS, MINUTE_MS } from '../../protocol/units.ts';

const BLOCK_MS = MINUTE_MS;
/** Minutes in which anything was heard. Those before a gap count as well, so that what was missed in it can be timed. */
const WINDOW_BLOCKS = 30;
/** But a rate that is older than this tells nothing of the present one. */
const OLDEST_MS = 6 * HOUR_MS;
/** A board's clock is at most 2 % fast or slow: no quartz or ceramic resonator is further off. */
const LEAST_RATE_ERROR = 1 / 1.02 - 1;
const MOST_RATE_ERROR = 1 / 0.98 - 1;
/** Before so much has been seen, a hiccup of the link would pass for a rate. */
const LEAST_SPAN_MS = MINUTE_MS;
const LEAST_POINTS = 8;

/** The points of a minute: their number, the sum of their uptimes, and their lower hull. */
interface Block {
  startHostMs: number;
  lastHostMs: number;
  points: number;
  sumX: number;
  hull: Hull;
}

/** Lower convex hull, `x` growing. */
interface Hull {
  x: number[];
  y: number[];
}

/** `x` is the uptime since the first point, `y` how much more than that the host's clock has moved on. */
export interface BoardClock {
  originUptimeMs: number;
  originHostMs: number;
  lastUptimeMs: number;
  blocks: Block[];
  /** Host milliseconds a board's millisecond, less 1: the last that could be fitted, 0 before. */
  rateError: number;
  /** `y` at `x` = 0; null: to be fitted again. */
  offsetMs: number | null;
}

/** A clock of which nothing is known yet. One for each boot. */
export function newBoardClock(): BoardClock {
  return {
    originUptimeMs: 0,
    originHostMs: 0,
    lastUptimeMs: Number.NEGATIVE_INFINITY,
    blocks: [],
    rateError: 0,
    offsetMs: null,
  };
}

/** Takes in that a reading of `uptimeMs` (carried on past 2^32) arrived at `hostMs`. Only newer uptimes tell anything. */
export function noteArrival(clock: BoardClock, uptimeMs: number, hostMs: number): void {
  if (uptimeMs <= clock.lastUptimeMs) return;
  forgetOld(clock, hostMs);
  if (clock.blocks.length === 0) {
    clock.originUptimeMs = uptimeMs;
    clock.originHostMs = hostMs;
  }
  clock.lastUptimeMs = uptimeMs;
  clock.offsetMs = null;
  const x = uptimeMs - clock.originUptimeMs;
  const y = hostMs - clock.originHostMs - x;
  let block = clock.blocks.at(-1);
  if (block === undefined || hostMs - block.startHostMs >= BLOCK_MS) {
    block = { startHostMs: hostMs, lastHostMs: hostMs, points: 0, sumX: 0, hull: { x: [], y: [] } };
    clock.blocks.push(block);
  }
  block.lastHostMs = hostMs;
  block.points += 1;
  block.sumX += x;
  addToHull(block.hull, x, y);
}

/** Drops the old points, and keeps the rate that they tell. */
function forgetOld(clock: BoardClock, hostMs: number): void {
  const [oldest] = clock.blocks;
  const newest = clock.blocks.at(-1);
  if (oldest === undefined || newest === undefined) return;
  const full = clock.blocks.length >= WINDOW_BLOCKS && hostMs - newest.startHostMs >= BLOCK_MS;
  if (!full && oldest.lastHostMs >= hostMs - OLDEST_MS) return;
  if (clock.offsetMs === null) clock.offsetMs = fitEnvelope(clock);
  clock.blocks = clock.blocks
    .slice(full ? 1 : 0)
    .filter(({ lastHostMs }) => lastHostMs >= hostMs - OLDEST_MS);
}

/** The computer's clock was put right: of all that is known the board's rate stays true. */
export function clockPutRight({ rateError }: BoardClock): BoardClock {
  return { ...newBoardClock(), rateError };
}

/** Host time (epoch ms, fractional) at which the board's uptime (carried on) was `uptimeMs`; null before any arrival. */
export function hostTimeOf(clock: BoardClock, uptimeMs: number): number | null {
  if (clock.blocks.length === 0) return null;
  if (clock.offsetMs === null) clock.offsetMs = fitEnvelope(clock);
  const x = uptimeMs - clock.originUptimeMs;
  return clock.originHostMs + clock.offsetMs + x * (1 + clock.rateError);
}

/** Fits the rate if enough has been seen, else keeps the last one; then the least offset at that rate. */
function fitEnvelope(clock: BoardClock): number {
  const hull: Hull = { x: [], y: [] };
  let points = 0;
  let sumX = 0;
  for (const block of clock.blocks) {
    points += block.points;
    sumX += block.sumX;
    for (let i = 0; i < block.hull.x.length; i += 1)
      addToHull(hull, block.hull.x[i] ?? 0, block.hull.y[i] ?? 0);
  }
  const { x, y } = hull;
  const spanMs = (x.at(-1) ?? 0) - (x[0] ?? 0);
  if (points >= LEAST_POINTS && spanMs >= LEAST_SPAN_MS) {
    const meanX = sumX / points;
    let right = 1;
    while (right < x.length - 1 && (x[right] ?? 0) < meanX) right += 1;
    const dx = (x[right] ?? 0) - (x[right - 1] ?? 0);
    const dy = (y[right] ?? 0) - (y[right - 1] ?? 0);
    clock.rateError = Math.max(LEAST_RATE_ERROR, Math.min(MOST_RATE_ERROR, dy / dx));
  }
  let offsetMs = Number.POSITIVE_INFINITY;
  for (let i = 0; i < x.length; i += 1)
    offsetMs = Math.min(offsetMs, (y[i] ?? 0) - (x[i] ?? 0) * clock.rateError);
  return offsetMs;
}

function addToHull({ x, y }: Hull, newX: number, newY: number): void {
  for (let n = x.length; n >= 2; n -= 1) {
    const x0 = x[n - 2] ?? 0;
    const y0 = y[n - 2] ?? 0;
    const turn = ((x[n - 1] ?? 0) - x0) * (newY - y0) - ((y[n - 1] ?? 0) - y0) * (newX - x0);
    if (turn > 0) break;
    x.pop();
    y.pop();
  }
  x.push(newX);
  y.push(newY);
}
