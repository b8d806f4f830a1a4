/**
 * A couple that drifts: its reading slides away from its neighbours for hours, beyond what places in a kiln explain,
 * while it ripples with every stoke as before.
 *
 * What places explain is slides.ts.
 *
 * All figures without a source are our own choice, made on simulated firings (`npm run score`) and on invented kilns of
 * another make, so that false faults stay far below one in a hundred hours.
 */
import { apartC, BUCKET_MS, type Slide, type Smooth, slidesOver } from './slides.ts';

/** Of the minutes of a bucket so many must have given a level; so many buckets are kept (three days). */
const BUCKET_LEAST_MINUTES = 5;
const KEPT_BUCKETS = 432;
/** A level is looked at over so many buckets: several stokes, and a dip by salt or an open door is little in it. */
const SMOOTH_BUCKETS = 3;
/** A slide is looked for over so many buckets: 1.5, 2.5 and 4 h. */
const WINDOWS = [9, 15, 24] as const;
/** It must last: 30 min. */
const LASTING_BUCKETS = 3;
/** Back by so much of it for half an hour, it is over: the kiln did it. */
const BACK_PART = 0.4;

/** A slide as it was told, and what has become of it. */
export interface ToldDrift extends Slide {
  /** Since when it slid, epoch ms. */
  since: number;
  /** As first told; `slideC` goes on. */
  firstC: number;
}

/** One probe's part of the watch. Plain, and kept with the probe. */
export interface DriftWatch {
  /** Mean levels, oldest first, the newest bucket of the firing last; null where the probe gave none. */
  levels: (number | null)[];
  sumC: number;
  minutes: number;
  /** For how many buckets running it has been suspected, or back after it was told. */
  running: number;
  told: ToldDrift | null;
}

export function newDriftWatch(): DriftWatch {
  return { levels: [], sumC: 0, minutes: 0, running: 0, told: null };
}

/**
 * Takes the probes' smoothed levels of this minute, in their fixed order: °C without the user's own correction, null of
 * one that does not work.
 */
export function noteLevels(watches: readonly DriftWatch[], levelsC: readonly (number | null)[]): void {
  watches.forEach((watch, i) => {
    const levelC = levelsC[i] ?? null;
    if (levelC === null) return;
    watch.sumC += levelC;
    watch.minutes += 1;
  });
}

/**
 * Looks whether a probe has begun to drift. To be called when a bucket is over, or more of them (`buckets`) after a
 * silence, at `at` in epoch ms. `burning` is false where the kiln is not fired: places cool as they will, and what was
 * told until then stands.
 */
export function watchDrift(
  watches: readonly DriftWatch[],
  buckets: number,
  at: number,
  burning: boolean,
): void {
  for (const watch of watches) closeBuckets(watch, buckets);
  if (watches.length < 2) return;
  if (!burning) {
    for (const watch of watches) watch.running = 0;
    return;
  }
  const smooth = watches.map(smoothed);
  followTold(watches, smooth);
  suspect(watches, smooth, at);
}

function closeBuckets(watch: DriftWatch, buckets: number): void {
  watch.levels.push(watch.minutes >= BUCKET_LEAST_MINUTES ? watch.sumC / watch.minutes : null);
  for (let missed = Math.min(buckets - 1, KEPT_BUCKETS); missed > 0; missed -= 1) watch.levels.push(null);
  watch.levels.splice(0, Math.max(watch.levels.length - KEPT_BUCKETS, 0));
  watch.sumC = 0;
  watch.minutes = 0;
}

/** By buckets back from now: 0 is the newest. Null where the bucket, or more than one of those before it, is missing. */
function smoothed({ levels }: DriftWatch): (number | null)[] {
  return levels.map((_, back) => {
    const end = levels.length - back;
    const known = levels.slice(Math.max(end - SMOOTH_BUCKETS, 0), end).filter((level) => level !== null);
    if (levels[end - 1] === null || known.length < SMOOTH_BUCKETS - 1) return null;
    return known.reduce((sum, level) => sum + level, 0) / known.length;
  });
}

/** The slides that were told, as they are now; those that have gone back are over. */
function followTold(watches: readonly DriftWatch[], smooth: Smooth): void {
  watches.forEach((watch, i) => {
    const { told } = watch;
    const nowC = told && apartC(smooth, i, told.against, 0);
    if (!told || nowC === null) return;
    told.slideC = nowC - told.fromC;
    const back = told.slideC * Math.sign(told.firstC) < BACK_PART * Math.abs(told.firstC);
    watch.running = back ? watch.running + 1 : 0;
    if (watch.running < LASTING_BUCKETS) return;
    watch.told = null;
    watch.running = 0;
  });
}

/** Looks whether one more probe drifts. One at a time: by one that drifts the others are not to be judged. */
function suspect(watches: readonly DriftWatch[], smooth: Smooth, at: number): void {
  const sound = watches.flatMap(({ told }, i) =>
    told === null && (smooth[i]?.[0] ?? null) !== null ? [i] : [],
  );
  let worst: ToldDrift | null = null;
  const slid = new Set<number>();
  for (const window of WINDOWS) {
    for (const slide of slidesOver(sound, smooth, window)) {
      slid.add(slide.i);
      if (worst && worst.beyond >= slide.beyond) continue;
      worst = { ...slide, since: at - window * BUCKET_MS, firstC: slide.slideC };
    }
  }
  for (const i of sound) {
    const watch = watches[i];
    if (watch) watch.running = slid.has(i) ? watch.running + 1 : 0;
  }
  const watch = worst && watches[worst.i];
  if (!watch || watch.running < LASTING_BUCKETS) return;
  watch.told = worst;
  for (const i of sound) {
    const each = watches[i];
    if (each) each.running = 0;
  }
}
