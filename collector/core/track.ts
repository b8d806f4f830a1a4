/**
 * The track: level and climb of one probe with the stoke sawtooth taken out, by the filter of `track-filter.ts` with the
 * stokes' period as the signal shows it.
 *
 * Why this one: on the first set of the score's firings its climb has a root mean square error of 20.3 °C/h; the step
 * between two means of 15 min has 25.6 and a robust line (Theil-Sen) through 30 min has 27.3, each with its best length, on
 * screened readings. Both know only one length of time: shorter, the sawtooth comes through, longer, they are late. A slope
 * that is a random walk, with a sawtooth of one fixed period, has 23. `tests/score.md` sets them beside each other.
 */
import { HOUR_MS, MINUTE_MS, SECOND_MS } from '../../protocol/units.ts';
import { filterClimb, firstFilter, predictFilter, type TrackFilter, updateFilter } from './track-filter.ts';

/** Readings closer together than this go into the filter as their mean: a stoke takes minutes. */
const BLOCK_MS = 14 * SECOND_MS;
/** A longer silence than this starts the track anew: what was known of the slope says nothing any more. */
const LONGEST_GAP_MS = 3 * HOUR_MS;
/** No climb is given before this much has been seen. */
const SETTLE_MS = 5 * MINUTE_MS;

/** The stokes' period before any was seen, and the shortest and longest that is believed. */
const FIRST_PERIOD_MS = 9 * MINUTE_MS;
const LEAST_PERIOD_MS = 8 * MINUTE_MS;
const MOST_PERIOD_MS = 24 * MINUTE_MS;
/** How far one interval moves the period, and how far off it may be from the last. */
const PERIOD_GAIN = 0.35;
const PERIOD_CHANGE = 1.6;
/** The signal, smoothed over so long, has turned when it has come back by so much from its last extreme. */
const SMOOTH_MS = 40 * SECOND_MS;
const TURN_C = 6;

/**
 * How much of a deviation from the usual climb the filter still shows: the rest is held back, as the kiln is thought to
 * come back to its climb. A test for a stall must not think so.
 */
const SHOWN = 0.65;
/** Errors are smaller than the filter's own variance says, by this: measured, so that the 90 % interval holds 90 %. */
const SD_TIMES = 0.85;

/** All plain numbers, so that a copy is a copy. */
export interface Track extends TrackFilter {
  /** When the filter last took something in; null before the first reading. */
  at: number | null;
  startedAt: number;
  /** Readings that wait for the filter: how many, their sum, and the sum of their times after `at`. */
  waiting: number;
  waitingC: number;
  waitingMs: number;
  /** Turns of the quick signal, and the period of its lows. */
  quickAt: number;
  quickC: number;
  rising: boolean;
  extremeC: number;
  extremeAt: number;
  lowAt: number | null;
  periodMs: number;
}

export function newTrack(): Track {
  return { ...startedTrack(0, 0), at: null };
}

function startedTrack(at: number, tempC: number): Track {
  return {
    ...firstFilter(tempC),
    at,
    startedAt: at,
    waiting: 0,
    waitingC: 0,
    waitingMs: 0,
    quickAt: at,
    quickC: tempC,
    rising: true,
    extremeC: tempC,
    extremeAt: at,
    lowAt: null,
    periodMs: FIRST_PERIOD_MS,
  };
}

/** Follows the quick signal; each low after a rise is a stoke, and the steps between them are the sawtooth's period. */
function followPeriod(track: Track, at: number, tempC: number): void {
  track.quickC += -Math.expm1((track.quickAt - at) / SMOOTH_MS) * (tempC - track.quickC);
  track.quickAt = at;
  const further = track.rising ? track.quickC - track.extremeC : track.extremeC - track.quickC;
  if (further < 0 && -further < TURN_C) return;
  if (further < 0) {
    if (!track.rising) learnPeriod(track, track.extremeAt);
    track.rising = !track.rising;
  }
  track.extremeC = track.quickC;
  track.extremeAt = at;
}

function learnPeriod(track: Track, lowAt: number): void {
  const { periodMs } = track;
  if (track.lowAt !== null) {
    const interval = Math.min(
      Math.max(lowAt - track.lowAt, periodMs / PERIOD_CHANGE),
      periodMs * PERIOD_CHANGE,
    );
    track.periodMs += PERIOD_GAIN * (interval - periodMs);
  }
  track.lowAt = lowAt;
}

/** Takes a screened reading in. `at` in epoch ms; a time at or before the last one is taken as the same instant. */
export function trackReading(track: Track, at: number, tempC: number): void {
  if (track.at === null || at - track.at > LONGEST_GAP_MS) {
    Object.assign(track, startedTrack(at, tempC));
    return;
  }
  const sinceMs = Math.max(at - track.at, 0);
  track.waiting += 1;
  track.waitingC += tempC;
  track.waitingMs += sinceMs;
  if (sinceMs < BLOCK_MS) return;
  const meanC = track.waitingC / track.waiting;
  const stepMs = track.waitingMs / track.waiting;
  const periodMs = Math.min(Math.max(track.periodMs, LEAST_PERIOD_MS), MOST_PERIOD_MS);
  predictFilter(track, stepMs / HOUR_MS, periodMs / HOUR_MS);
  updateFilter(track, meanC);
  track.at += stepMs;
  track.waiting = 0;
  track.waitingC = 0;
  track.waitingMs = 0;
  followPeriod(track, track.at, meanC);
}

/** Level in °C at the last reading; null before the first. */
export function trackLevelC(track: Track): number | null {
  return track.at === null ? null : track.level;
}

/** Climb of a probe, °C/h. `shownCPerH`: what the readings alone show of it, not drawn to the usual climb. */
export interface TrackedClimb {
  climbCPerH: number;
  sdCPerH: number;
  shownCPerH: number;
}

/** Climb in °C/h and its standard deviation; null until enough has been seen to speak of one. */
export function trackClimb(track: Track): TrackedClimb | null {
  if (track.at === null || track.at - track.startedAt < SETTLE_MS) return null;
  const { climb, variance } = filterClimb(track);
  return {
    climbCPerH: climb,
    sdCPerH: SD_TIMES * Math.sqrt(variance),
    shownCPerH: track.usual + track.off / SHOWN,
  };
}
