/**
 * One probe: from converted readings through screen, track and heat work. A late reading is put in its place by going
 * back to the mark before it and feeding again what came after, so it ends where it would have, had it come in time.
 */
import type { ProbeSpec, RawValue } from '../../protocol/probes.ts';
import { HOUR_MS, MINUTE_MS } from '../../protocol/units.ts';
import { addHeat, copyHeatWork, type HeatWork, newHeatWork } from './heat-work/heat-work.ts';
import { newScreen, type Screen, type Screened, screenFault, screenReading } from './screen.ts';
import { newTrack, type Track, trackLevelC, trackReading } from './track.ts';

/** A reading up to this old is worked into the track. */
export const LATE_LIMIT_MS = 2 * HOUR_MS;
/** How often a mark is set to which a late reading can go back. */
const MARK_EVERY_MS = 5 * MINUTE_MS;
/** Over a longer gap than this no heat work is counted: nobody knows what the kiln did. */
const HEAT_GAP_MS = 2 * HOUR_MS;

/** One reading of the probe, as it goes down the line. */
export interface ProbeReading {
  at: number;
  raw: RawValue;
  /** As converted, without the user's own correction; null where the chip reported a fault. */
  tempC: number | null;
  /** The user's own correction at that time. A new one moves the level, and is no climb. */
  offsetC: number;
  /** The kiln was closed by then. */
  cooling: boolean;
}

/** What a late reading can change. */
interface Line {
  screen: Screen;
  track: Track;
  heat: HeatWork;
  heatAt: number | null;
  heatC: number;
  offsetC: number;
}

export interface ProbeTrack {
  spec: ProbeSpec;
  line: Line;
  /** Nothing from before this belongs to the line: the probe was not in the kiln, or was another one. */
  begunAt: number;
  history: ProbeReading[];
  marks: { at: number; line: Line }[];
  /** Late readings from here on await their working-in. */
  stale: number | null;
}

function newLine(): Line {
  return { screen: newScreen(), track: newTrack(), heat: newHeatWork(), heatAt: null, heatC: 0, offsetC: 0 };
}

export function newProbeTrack(spec: ProbeSpec, begunAt: number): ProbeTrack {
  return { spec, line: newLine(), begunAt, history: [], marks: [firstMark(newLine())], stale: null };
}

/** The mark before everything: a late reading may be earlier than the first one. */
function firstMark(line: Line): { at: number; line: Line } {
  return { at: Number.NEGATIVE_INFINITY, line };
}

function copyLine(line: Line): Line {
  return { ...line, screen: { ...line.screen }, track: { ...line.track }, heat: copyHeatWork(line.heat) };
}

function feedLine(line: Line, reading: ProbeReading): Screened | 'fault' {
  const { at, raw, tempC, offsetC, cooling } = reading;
  if (tempC === null) {
    screenFault(line.screen);
    return 'fault';
  }
  const screened = screenReading(line.screen, { at, tempC, raw, cooling });
  if (screened === 'spike') return screened;
  if (screened === 'stuck') {
    // The frozen readings before it was noticed are in the track: it begins anew when the read-out lives again.
    line.track = newTrack();
    line.heatAt = null;
    return screened;
  }
  if (screened === 'jump') line.track = newTrack();
  trackReading(line.track, at, tempC);
  line.offsetC = offsetC;
  const heatC = tempC + offsetC;
  if (line.heatAt !== null && at > line.heatAt && at - line.heatAt <= HEAT_GAP_MS) {
    addHeat(line.heat, line.heatC, heatC, at - line.heatAt);
  }
  line.heatAt = at;
  line.heatC = heatC;
  return screened;
}

/** Takes a reading that came in time. */
export function feedProbe(probe: ProbeTrack, reading: ProbeReading): Screened | 'fault' {
  workInLate(probe);
  if (markNow(probe, reading.at)) trim(probe, reading.at);
  probe.history.push(reading);
  return feedLine(probe.line, reading);
}

/** The smoothed, corrected temperature in °C at the last reading; null before the first. */
export function probeLevelC({ line }: ProbeTrack): number | null {
  const levelC = trackLevelC(line.track);
  return levelC === null ? null : levelC + line.offsetC;
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

/**
 * Keeps a late reading to be worked in; drops one that is too old for that, or from before the line began. Whether the
 * kiln was closed by then goes by the reading before it.
 */
export function addLate(probe: ProbeTrack, reading: ProbeReading, now: number): void {
  const { at } = reading;
  if (now - at > LATE_LIMIT_MS || at < probe.begunAt) return;
  const place = probe.history.findLastIndex((past) => past.at <= at) + 1;
  const cooling = (probe.history[place - 1] ?? probe.history[place])?.cooling ?? reading.cooling;
  probe.history.splice(place, 0, { ...reading, cooling });
  probe.stale = Math.min(probe.stale ?? at, at);
}

function markNow(probe: ProbeTrack, at: number): boolean {
  const lastMark = probe.marks.at(-1);
  if (lastMark && at - lastMark.at < MARK_EVERY_MS) return false;
  probe.marks.push({ at, line: copyLine(probe.line) });
  return true;
}

/** Feeds again from before the earliest late reading, if there is one. */
export function workInLate(probe: ProbeTrack): void {
  if (probe.stale === null) return;
  const from = probe.stale;
  probe.stale = null;
  probe.marks.length = probe.marks.findLastIndex((mark) => mark.at <= from) + 1;
  const mark = probe.marks.at(-1);
  if (!mark) return;
  probe.line = copyLine(mark.line);
  for (const reading of probe.history) {
    if (reading.at < mark.at) continue;
    markNow(probe, reading.at);
    feedLine(probe.line, reading);
  }
}

/** The heat work as it was at `at`, epoch ms; what is kept goes back two hours, and the oldest of it stands for all before. */
export function heatWorkAt(probe: ProbeTrack, at: number): HeatWork {
  workInLate(probe);
  if (probe.line.heatAt !== null && at >= probe.line.heatAt) return probe.line.heat;
  const mark = probe.marks.findLast((each) => each.at <= at) ?? probe.marks[0];
  if (!mark) return probe.line.heat;
  const line = copyLine(mark.line);
  for (const reading of probe.history) if (reading.at >= mark.at && reading.at <= at) feedLine(line, reading);
  return line.heat;
}

/** Begins anew at `at`, as after a probe was pulled and put back; the heat its place has had stays. */
export function restartProbe(probe: ProbeTrack, at: number): void {
  workInLate(probe);
  probe.line = { ...newLine(), heat: probe.line.heat };
  probe.begunAt = at;
  probe.history.length = 0;
  probe.marks = [firstMark(copyLine(probe.line))];
}
