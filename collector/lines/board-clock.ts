/**
 * The steadied time of a reading. A line arrives late by as much as the link and the computer please, but never early,
 * so arrivals plotted over the board's uptime lie on or above a line: the board's clock as the host sees it. That line
 * is sought below all that was heard in the last 30 min (`late-line.ts`).
 *
 * Points that are not on the hull of their own minute cannot be on the hull of all, so only those hulls are kept.
 */
import { HOUR_MS, MINUTE_MS } from '../../protocol/units.ts';
import { addToHull, type Hull, highestBelow, type LateLine, likeliestLine, meanLine } from './late-line.ts';

const BLOCK_MS = MINUTE_MS;
/** Minutes in which anything was heard. Those before a gap count as well, so that what was missed in it can be timed. */
const WINDOW_BLOCKS = 30;
/** But a rate that is older than this tells nothing of the present one. */
const OLDEST_MS = 6 * HOUR_MS;
/** A board's clock is at most 2 % fast or slow: no quartz or ceramic resonator is further off. */
const RATE_ERROR = { least: 1 / 1.02 - 1, most: 1 / 0.98 - 1 };
/** Before so much has been seen, a hiccup of the link would pass for a rate. */
const LEAST_SPAN_MS = MINUTE_MS;
const LEAST_POINTS = 8;
/** The board tells its uptime in whole ms, so that no delay is known better than this. */
const LEAST_DELAY_MS = 0.5;

/** The points of a minute: their number, their sums, and their lower hull. */
interface Block {
  startHostMs: number;
  lastHostMs: number;
  points: number;
  sumX: number;
  sumY: number;
  hull: Hull;
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
  /** Mean delay of an arrival; null: to be worked out again, as it is each minute. */
  delayMs: number | null;
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
    delayMs: null,
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
    block = { startHostMs: hostMs, lastHostMs: hostMs, points: 0, sumX: 0, sumY: 0, hull: { x: [], y: [] } };
    clock.blocks.push(block);
    clock.delayMs = null;
  }
  block.lastHostMs = hostMs;
  block.points += 1;
  block.sumX += x;
  block.sumY += y;
  addToHull(block.hull, x, y);
}

/** Drops the old points, and keeps the rate that they tell. */
function forgetOld(clock: BoardClock, hostMs: number): void {
  const [oldest] = clock.blocks;
  const newest = clock.blocks.at(-1);
  if (oldest === undefined || newest === undefined) return;
  const full = clock.blocks.length >= WINDOW_BLOCKS && hostMs - newest.startHostMs >= BLOCK_MS;
  if (!full && oldest.lastHostMs >= hostMs - OLDEST_MS) return;
  if (clock.offsetMs === null) clock.offsetMs = fitLine(clock);
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
  if (clock.offsetMs === null) clock.offsetMs = fitLine(clock);
  const x = uptimeMs - clock.originUptimeMs;
  return clock.originHostMs + clock.offsetMs + x * (1 + clock.rateError);
}

/** Fits the rate if enough has been seen, else keeps the last one, with the least offset at that rate. */
function fitLine(clock: BoardClock): number {
  const hull: Hull = { x: [], y: [] };
  let points = 0;
  let sumX = 0;
  for (const block of clock.blocks) {
    points += block.points;
    sumX += block.sumX;
    for (let i = 0; i < block.hull.x.length; i += 1)
      addToHull(hull, block.hull.x[i] ?? 0, block.hull.y[i] ?? 0);
  }
  const spanMs = (hull.x.at(-1) ?? 0) - (hull.x[0] ?? 0);
  if (points < LEAST_POINTS || spanMs < LEAST_SPAN_MS) return highestBelow(hull, clock.rateError);
  const meanX = sumX / points;
  clock.delayMs ??= usualDelayMs(clock.blocks, points, meanX, likeliestLine(hull, meanX));
  const { slope, height } = meanLine(hull, { points, meanX, delay: clock.delayMs }, RATE_ERROR);
  clock.rateError = slope;
  return height - slope * meanX;
}

/**
 * The mean delay, ms: the median of the minutes' means, each with the weight of its points. So a minute in which the
 * link stood still, or the computer slept, makes no difference. The line was fitted to the same points, which takes two
 * of their delays.
 */
function usualDelayMs(blocks: readonly Block[], points: number, meanX: number, line: LateLine): number {
  const minutes = blocks
    .map((block) => ({
      points: block.points,
      meanMs: block.sumY / block.points - line.height - line.slope * (block.sumX / block.points - meanX),
    }))
    .sort((a, b) => a.meanMs - b.meanMs);
  let seen = 0;
  const middle = minutes.find((minute) => {
    seen += minute.points;
    return seen >= points / 2;
  });
  return Math.max(LEAST_DELAY_MS, ((middle?.meanMs ?? 0) * points) / (points - 2));
}
