/**
 * How a firing went, remembered reading by reading: when each heat and each cone was first reached, how the closed kiln
 * cooled, how hot each place got. It takes what the core says of a reading, live or as the archive keeps it.
 */
import { parseCone } from '../../../protocol/cones.ts';
import type { Stage } from '../../../protocol/stages.ts';
import { MINUTE_MS } from '../../../protocol/units.ts';

/** Steps of the memory: finer than any couple can tell. */
const RISE_STEP_C = 0.5;
const CONE_STEP = 0.05;
const FALL_STEP_C = 1;
/** A probe that has said nothing for so long is not counted among those that cool, nor to the mean of the cones. */
export const SILENT_MS = 15 * MINUTE_MS;

/** The first time that the kiln was so far. */
export interface Mark {
  at: number;
  value: number;
}

export interface Course {
  /** The kiln's level and the mean of its cones on the way up, ascending in both. */
  heats: Mark[];
  cones: Mark[];
  /** The hottest probe of the closed kiln on the way down. */
  falls: Mark[];
  /** In the order in which the probes came. */
  places: Map<string, { topC: number | null; cone: number | null; at: number; smoothC: number | null }>;
}

export interface CourseReading {
  at: number;
  stage: Stage;
  /** The kiln's level, °C. */
  kilnC: number | null;
  /** The probes of this reading: smoothed °C, and the cone as it is written. */
  probes: readonly { probe: string; smoothC: number | null; cone: string | null }[];
}

export function newCourse(): Course {
  return { heats: [], cones: [], falls: [], places: new Map() };
}

/** Takes a reading that was on time, in order of time; the course is changed in place. */
export function noteCourse(course: Course, { at, stage, kilnC, probes }: CourseReading): void {
  for (const { probe, smoothC, cone } of probes) {
    const place = course.places.get(probe) ?? { topC: null, cone: null, at, smoothC: null };
    course.places.set(probe, place);
    const coneValue = cone === null ? null : parseCone(cone);
    if (smoothC !== null)
      Object.assign(place, { at, smoothC, topC: Math.max(place.topC ?? smoothC, smoothC) });
    if (coneValue !== null) place.cone = Math.max(place.cone ?? coneValue, coneValue);
  }
  const closed = stage === 'cooling' || stage === 'open';
  if (!closed) {
    course.falls = [];
    rise(course.heats, at, kilnC, RISE_STEP_C);
    rise(course.cones, at, meanCone(course, at), CONE_STEP);
    return;
  }
  const hottestC = hottest(course, at);
  const last = course.falls.at(-1);
  if (hottestC !== null && (!last || hottestC <= last.value - FALL_STEP_C))
    course.falls.push({ at, value: hottestC });
}

function rise(marks: Mark[], at: number, value: number | null, step: number): void {
  const last = marks.at(-1);
  if (value !== null && (!last || value >= last.value + step)) marks.push({ at, value });
}

/** Null while one of the places that are heard has no cone yet. */
function meanCone({ places }: Course, at: number): number | null {
  let sum = 0;
  let count = 0;
  for (const place of places.values()) {
    if (place.smoothC === null || at - place.at > SILENT_MS) continue;
    if (place.cone === null) return null;
    sum += place.cone;
    count += 1;
  }
  return count === 0 ? null : sum / count;
}

function hottest({ places }: Course, at: number): number | null {
  let hottestC: number | null = null;
  for (const place of places.values()) {
    if (place.smoothC !== null && at - place.at <= SILENT_MS)
      hottestC = Math.max(hottestC ?? place.smoothC, place.smoothC);
  }
  return hottestC;
}

/** When the marks first came to `value`, upward; null where they never did. */
export function firstAt(marks: readonly Mark[], value: number): number | null {
  let low = 0;
  let high = marks.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((marks[middle]?.value ?? 0) < value) low = middle + 1;
    else high = middle;
  }
  return marks[low]?.at ?? null;
}
