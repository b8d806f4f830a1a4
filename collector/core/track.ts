/**
 * The track: level and climb of one probe with the stoke sawtooth taken out, by the filter of `track-filter.ts` with the
 * stokes' period as the signal shows it.
 *
 * Why this one: on the first set of the score's firings its climb has a root mean square error of 19.0 °C/h (20.3 without
 * what is added here for a kiln that is not fed); the step between two means of 15 min has 25.5 and a robust line (Theil-Sen)
 * through 30 min has 26.1, each with its best length, on screened readings. Both know only one length of time: shorter, the
 * sawtooth comes through, longer, they are late. A slope that is a random walk, with a sawtooth of one fixed period, has 23.
 * `tests/score.md` sets them beside each other.
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
 * No low for so many periods: nobody stokes. If the climb is by then so far below the usual one, it is the fall of a kiln
 * that is not fed, which a slow filter comes to believe late: its slope may be off by so much more, °C/h. Once.
 */
const UNFED_PERIODS = 1.7;
/** The stoke after so many ends the fall. */
const PAUSE_PERIODS = 2;
const UNFED_OFF_C_PER_H = 10;
const UNFED_SD_C_PER_H = 60;
/** It still falls while the quick signal is no further than this above its lowest. */
const AT_LOWEST_C = 1.5;
/**
 * No way off the usual climb lasts: embers burn down, wood is put on, a surge is spent. Of a large one only about so much is
 * left in the mean of the half hour before and after, °C/h.
 */
const MOST_OFF_C_PER_H = 80;

/**
 * How much of a deviation from the usual climb the filter still shows: the rest is held back, as the kiln is thought to
 * come back to its climb. A test for a stall must not think so.
 */
const SHOWN = 0.65;
/**
 * Errors are smaller than the filter's own variance says, by this, and the larger the further the climb is off the usual
 * one: measured, so that the 90 % interval holds 90 % near the usual climb and far from it.
 */
const SD_TIMES = 0.75;
const SD_OF_OFF = 0.4;

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
  /** It falls, and no stoke has shown for long. */
  unfed: boolean;
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
    unfed: false,
  };
}

/** Follows the quick signal; each low after a rise is a stoke, and the steps between them are the sawtooth's period. */
function followPeriod(track: Track, at: number, tempC: number): void {
  track.quickC += -Math.expm1((track.quickAt - at) / SMOOTH_MS) * (tempC - track.quickC);
  track.quickAt = at;
  const further = track.rising ? track.quickC - track.extremeC : track.extremeC - track.quickC;
  if (further < 0 && -further < TURN_C) return;
  if (further < 0) {
    if (!track.rising) takeLow(track, track.extremeAt);
    track.rising = !track.rising;
  }
  track.extremeC = track.quickC;
  track.extremeAt = at;
}

/** The sawtooth's period as it is believed. */
function periodOf({ periodMs }: Track): number {
  return Math.min(Math.max(periodMs, LEAST_PERIOD_MS), MOST_PERIOD_MS);
}

/** A fall that goes on though a stoke is long due is given to the climb, not to the sawtooth. */
function noteUnfed(track: Track): void {
  const { lowAt, unfed, rising, at, off, quickC, extremeC } = track;
  if (unfed || rising || lowAt === null || at === null) return;
  if (at - lowAt <= UNFED_PERIODS * periodOf(track)) return;
  if (quickC - extremeC > AT_LOWEST_C || off >= -UNFED_OFF_C_PER_H) return;
  track.unfed = true;
  track.a22 += UNFED_SD_C_PER_H ** 2;
}

/** With the stoke after a long pause the kiln comes back to its usual climb: the fall is over, and says nothing more. */
function takeLow(track: Track, lowAt: number): void {
  if (track.lowAt !== null && lowAt - track.lowAt > PAUSE_PERIODS * periodOf(track)) track.off = 0;
  track.unfed = false;
  learnPeriod(track, lowAt);
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
  predictFilter(track, stepMs / HOUR_MS, periodOf(track) / HOUR_MS);
  updateFilter(track, meanC);
  track.at += stepMs;
  track.waiting = 0;
  track.waitingC = 0;
  track.waitingMs = 0;
  followPeriod(track, track.at, meanC);
  noteUnfed(track);
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

/**
 * Climb in °C/h and its standard deviation; null until enough has been seen to speak of one. A kiln that is closed does not
 * come back to its climb (`tended` is false): there the climb is the filter's own.
 */
export function trackClimb(track: Track, tended = true): TrackedClimb | null {
  if (track.at === null || track.at - track.startedAt < SETTLE_MS) return null;
  const { climb, variance } = filterClimb(track);
  const left = MOST_OFF_C_PER_H * Math.tanh(track.off / MOST_OFF_C_PER_H);
  return {
    climbCPerH: tended ? track.usual + left : climb,
    sdCPerH: Math.sqrt(SD_TIMES ** 2 * variance + (SD_OF_OFF * track.off) ** 2),
    shownCPerH: track.usual + track.off / SHOWN,
  };
}
