/**
 * One probe: from converted readings through screen, track and heat work. A late reading is put in its place by going
 * back to the mark before it and feeding again what came after, so it ends where it would have, had it come in time.
 */
import type { ProbeSpec } from '../../protocol/probes.ts';
import { addHeat, copyHeatWork, type HeatWork, newHeatWork } from './heat-work/heat-work.ts';
import { newScreen, type Screen, type Screened, screenReading } from './screen.ts';
import { newTrack, type Track, trackReading } from './track.ts';

/** A reading up to this old is worked into the track. */
export const LATE_LIMIT_MS = 2 * 3_600_000;
/** How often a mark is set to which a late reading can go back. */
const MARK_EVERY_MS = 5 * 60_000;
/** Over a longer gap than this no heat work is counted: nobody knows what the kiln did. */
const HEAT_GAP_MS = 2 * 3_600_000;

/** What a late reading can change. */
interface Line {
  screen: Screen;
  track: Track;
  heat: HeatWork;
  heatAt: number | null;
  heatC: number;
}

export interface ProbeTrack {
  spec: ProbeSpec;
  line: Line;
  history: { at: number; tempC: number }[];
  marks: { at: number; line: Line }[];
  /** Late readings before this await their working-in. */
  stale: number | null;
}

function newLine(): Line {
  return { screen: newScreen(), track: newTrack(), heat: newHeatWork(), heatAt: null, heatC: 0 };
}

export function newProbeTrack(spec: ProbeSpec): ProbeTrack {
  return { spec, line: newLine(), history: [], marks: [firstMark(newLine())], stale: null };
}

/** The mark before everything: a late reading may be earlier than the first one. */
function firstMark(line: Line): { at: number; line: Line } {
  return { at: Number.NEGATIVE_INFINITY, line };
}

function copyLine(line: Line): Line {
  return { ...line, screen: { ...line.screen }, track: { ...line.track }, heat: copyHeatWork(line.heat) };
}

function feedLine(line: Line, at: number, tempC: number, cooling: boolean): Screened {
  const screened = screenReading(line.screen, at, tempC, cooling);
  if (screened === 'spike') return screened;
  if (screened === 'stuck') {
    // The frozen readings before it was noticed are in the track: it begins anew when the read-out lives again.
    line.track = newTrack();
    line.heatAt = null;
    return screened;
  }
  if (screened === 'jump') line.track = newTrack();
  trackReading(line.track, at, tempC);
  if (line.heatAt !== null && at > line.heatAt && at - line.heatAt <= HEAT_GAP_MS) {
    addHeat(line.heat, line.heatC, tempC, at - line.heatAt);
  }
  line.heatAt = at;
  line.heatC = tempC;
  return screened;
}

/** Takes a reading that came in time. `tempC` is the corrected temperature. */
export function feedProbe(probe: ProbeTrack, at: number, tempC: number, cooling: boolean): Screened {
  workInLate(probe, cooling);
  if (markNow(probe, at)) trim(probe, at);
  probe.history.push({ at, tempC });
  return feedLine(probe.line, at, tempC, cooling);
}

/** Keeps one mark that is older than the limit, and the readings since it. */
function trim(probe: ProbeTrack, now: number): void {
  const keepFrom = Math.max(
    probe.marks.findLastIndex((mark) => mark.at < now - LATE_LIMIT_MS),
    0,
  );
  if (keepFrom === 0) return;
  probe.marks.splice(0, keepFrom);
  const oldest = probe.marks[0]?.at ?? Number.NEGATIVE_INFINITY;
  const first = probe.history.findIndex((past) => past.at >= oldest);
  probe.history.splice(0, Math.max(first, 0));
}

/** Keeps a late reading to be worked in. The answer is false if it is too old for that. */
export function addLate(probe: ProbeTrack, at: number, tempC: number, now: number): boolean {
  if (now - at > LATE_LIMIT_MS) return false;
  const place = probe.history.findLastIndex((past) => past.at <= at) + 1;
  probe.history.splice(place, 0, { at, tempC });
  probe.stale = Math.min(probe.stale ?? at, at);
  return true;
}

function markNow(probe: ProbeTrack, at: number): boolean {
  const lastMark = probe.marks.at(-1);
  if (lastMark && at - lastMark.at < MARK_EVERY_MS) return false;
  probe.marks.push({ at, line: copyLine(probe.line) });
  return true;
}

/** Feeds again from before the earliest late reading, if there is one. */
export function workInLate(probe: ProbeTrack, cooling: boolean): void {
  if (probe.stale === null) return;
  const from = probe.stale;
  probe.stale = null;
  probe.marks.length = probe.marks.findLastIndex((mark) => mark.at <= from) + 1;
  const mark = probe.marks.at(-1);
  if (!mark) return;
  probe.line = copyLine(mark.line);
  for (const { at, tempC } of probe.history) {
    if (at < mark.at) continue;
    markNow(probe, at);
    feedLine(probe.line, at, tempC, cooling);
  }
}

/** Begins anew, as after a probe was pulled and put back; the heat its place has had stays. */
export function restartProbe(probe: ProbeTrack): void {
  probe.line = { ...newLine(), heat: probe.line.heat };
  probe.history.length = 0;
  probe.marks = [firstMark(copyLine(probe.line))];
  probe.stale = null;
}
