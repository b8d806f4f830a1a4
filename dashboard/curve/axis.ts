/** Where the curve's axes are marked, and with what words. Pure. */
import { cFromF, fFromC, type TemperatureUnit } from '../../protocol/units.ts';
import { type Place, sayClock } from '../say.ts';
import { SAY, TIME } from '../words.ts';

const MINUTE = 60_000;
const TIME_STEPS = [1, 2, 5, 10, 15, 30, 60, 120, 180, 240, 360, 480, 720, 1440, 2880].map((m) => m * MINUTE);
const TEMP_STEPS = [10, 20, 50, 100, 200, 250, 500, 1000];

function stepFor(steps: readonly number[], span: number, most: number): number {
  const wanted = span / Math.max(1, most);
  return steps.find((step) => step >= wanted) ?? steps[steps.length - 1] ?? wanted;
}

/** Round temperatures of the chosen unit between two °C, given as °C; at most about `most` of them. */
export function tempMarks(minC: number, maxC: number, unit: TemperatureUnit, most: number): number[] {
  const toUnit = unit === 'F' ? fFromC : (c: number) => c;
  const toC = unit === 'F' ? cFromF : (c: number) => c;
  const low = toUnit(minC);
  const high = toUnit(maxC);
  const step = stepFor(TEMP_STEPS, high - low, most);
  const marks: number[] = [];
  for (let mark = Math.ceil(low / step) * step; mark <= high; mark += step) marks.push(toC(mark));
  return marks;
}

/** The words at those marks: whole degrees, the unit at the highest of them. */
export function heatWords(marksC: readonly number[], unit: TemperatureUnit): string[] {
  return marksC.map((markC, index) => {
    const figure = `${Math.round(unit === 'F' ? fFromC(markC) : markC)}°`;
    return index === marksC.length - 1 ? `${figure}${unit}` : figure;
  });
}

/** Round times between two moments (epoch ms), counted from `originMs`; at most about `most` of them. */
export function timeMarks(minMs: number, maxMs: number, originMs: number, most: number): number[] {
  const step = stepFor(TIME_STEPS, maxMs - minMs, most);
  const marks: number[] = [];
  for (let k = Math.ceil((minMs - originMs) / step); originMs + k * step <= maxMs; k += 1)
    marks.push(originMs + k * step);
  return marks;
}

/** The local midnight at or before a moment: the origin of the marks while no fire is lit, so that they fall on the hour. */
export function midnightBefore(atMs: number): number {
  const day = new Date(atMs);
  day.setHours(0, 0, 0, 0);
  return day.getTime();
}

/** Two lines under a mark: how long in (`2 h 40`, `3 d 4 h`), and the clock, which looks unlike it. Without a light-up only the clock. */
export function timeWords(atMs: number, litAtMs: number | null, place: Place = {}): string {
  const clock = sayClock(atMs, place).replace(/:00(?=\u00a0)/, '');
  if (litAtMs === null) return clock;
  const minutes = Math.round((atMs - litAtMs) / MINUTE);
  if (minutes < 0) return `\u2212${hoursIn(-minutes)}\n${clock}`;
  return `${minutes === 0 ? SAY.litMark : hoursIn(minutes)}\n${clock}`;
}

function pad(n: number): string {
  return String(n).padStart(2, '0');
}

/** `40 min`, `2 h`, `2 h 40`, from two days on `3 d 4 h`. */
export function hoursIn(minutes: number): string {
  const whole = Math.floor(minutes / 60);
  if (whole >= 48 && minutes % 60 === 0) return TIME.axisDays(Math.floor(whole / 24), whole % 24);
  if (minutes % 60 === 0) return TIME.axisHours(whole);
  return whole === 0 ? TIME.shortMinutes(minutes) : TIME.shortHours(whole, pad(minutes % 60));
}

/** Pushes labels apart so that none overlaps, each as near to where it wants to be as it can. Positions rise downward. */
export function spreadLabels(
  wanted: readonly number[],
  apart: number,
  top: number,
  bottom: number,
): number[] {
  const order = wanted.map((_, index) => index).sort((a, b) => (wanted[a] ?? 0) - (wanted[b] ?? 0));
  const placed = order.map((index) => Math.min(Math.max(wanted[index] ?? 0, top), bottom));
  for (let i = 1; i < placed.length; i += 1)
    placed[i] = Math.max(placed[i] ?? 0, (placed[i - 1] ?? 0) + apart);
  let limit = bottom;
  for (let i = placed.length - 1; i >= 0; i -= 1) {
    placed[i] = Math.min(placed[i] ?? 0, limit);
    limit = (placed[i] ?? 0) - apart;
  }
  const result = new Array<number>(wanted.length).fill(0);
  order.forEach((index, place) => {
    result[index] = placed[place] ?? 0;
  });
  return result;
}
