/**
 * The system's clock beside the firing's. The firing's time runs on a clock that nobody sets; where the system's was set
 * (by hand, by the network, by a program that takes summer time for another time), that is noted and not followed.
 */

/** The two are read one after the other, and sleep is measured to a second or three; what is less is no step. */
const LEAST_STEP_MS = 5000;

export interface WallWatch {
  /** The system's clock less the firing's, ms; null before the first look. */
  apartMs: number | null;
}

export function newWallWatch(): WallWatch {
  return { apartMs: null };
}

/** What is to be noted at a look, in a sentence; null where nothing is. A clock that is slowly drawn right is no step. */
export function watchWall(wall: WallWatch, wallAt: number, at: number): string | null {
  const before = wall.apartMs;
  wall.apartMs = wallAt - at;
  if (before === null) return null;
  const stepMs = wall.apartMs - before;
  if (Math.abs(stepMs) < LEAST_STEP_MS) return null;
  return `This computer's clock was set ${stepMs < 0 ? 'back' : 'forward'} by ${span(Math.abs(stepMs))}: the times of this firing go on as before.`;
}

function span(ms: number): string {
  const seconds = Math.round(ms / 1000);
  if (seconds < 120) return `${seconds} s`;
  const minutes = Math.round(seconds / 60);
  if (minutes < 120) return `${minutes} min`;
  const hours = Math.round(minutes / 6) / 10;
  return hours < 48 ? `${hours} h` : `${Math.round(hours / 24)} days`;
}
