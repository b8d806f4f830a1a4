/**
 * How the closed kiln goes on cooling: the model of `cool-model.ts`, fitted anew as readings come in.
 *
 * In the first hours little is known but what kilns of this kind usually do: about five days to about 400 °F (common
 * practice, no source), and the interval is as wide as that. Each hour tells more. A reading weighs the less the further
 * its heat is from that of now, since the model is simpler than a kiln.
 */
import { HOUR_MS, MINUTE_MS } from '../../../protocol/units.ts';
import { type CoolParams, type Course, coolCourse, courseHour, courseTempC } from './cool-model.ts';
import { leastSquares } from './least-squares.ts';
import { judgeWidths, type LevelAhead, newWidths, type Widths, widthAt } from './widths.ts';

/** Two-sided 80 % of the normal distribution. */
const NORMAL_80 = 1.2816;

/**
 * What is believed beforehand of the parameters, with its standard deviations, in the order of `CoolParams`: our own
 * choice, so that a kiln closed at 1230 °C is at 400 °F in five days, give or take a factor of about two. Start and air
 * are the firing's own.
 */
const USUAL = {
  lnRadiationPerH: { mean: Math.log(0.03), sd: 0.7 },
  lnIntoWallPerH: { mean: Math.log(0.25), sd: 0.6 },
  lnThroughWallPerH: { mean: Math.log(0.12), sd: 0.6 },
  lnOutwardPerH: { mean: Math.log(0.04), sd: 0.7 },
  lnWallHolds: { mean: Math.log(0.5), sd: 0.5 },
  lnOuterHolds: { mean: Math.log(1), sd: 0.5 },
  wallShare: { mean: 0.8, sd: 0.1 },
  outerShare: { mean: 0.4, sd: 0.12 },
} as const;
const START_SD_C = 15;
const AIR_SD_C = 8;
/** A board in the shed is a little warmer than the air outside; and where no board says, a cool day. */
const SHED_WARMER_C = 3;
const USUAL_AIR_C = 12;

/** How well the level of now is known, °C, and how well that by which a forecast is judged later. */
const LEVEL_SD_C = 0.4;
/** How near a fitted course must come to a level, °C, and what is added for each degree between its heat and that of now. */
const FITTED_SD_C = 1;
const FAR_SD_PART = 0.05;
/** Readings near one another miss the model in the same way: however many, they weigh as so many. */
const WEIGH_AS = 16;
/** What the model gets wrong for good, as a part of the time ahead: so much in two days, and with this power of the time. */
const MODEL_SD_PART = 0.21;
const MODEL_SD_H = 48;
const MODEL_SD_POWER = 0.6;

/** Samples are kept so far apart at first; when there are so many, every second one goes and they come half as often. */
const SAMPLE_EVERY_MS = 10 * MINUTE_MS;
const MOST_SAMPLES = 64;
/** Nobody waits longer. */
const LONGEST_H = 14 * 24;

/** Judged so far ahead. One forecast of a day misses as the one before it did, so each teaches the less. */
const JUDGED_MS = [20 * MINUTE_MS, HOUR_MS, 3 * HOUR_MS, 12 * HOUR_MS, 48 * HOUR_MS];
const LEARNS = [0.1, 0.1, 0.15, 0.01, 0.003];
const KEPT_EVERY_MS = 30 * MINUTE_MS;

export interface Cooling {
  everyMs: number;
  /** Epoch ms and °C, oldest first. */
  samples: { at: number; tempC: number }[];
  /** The coldest that a board's own junction was. */
  coldestC: number | null;
  /** The likely fits, the best one first. */
  fits: Fit[];
  keptAt: number;
  widths: Widths;
}

interface Fit {
  params: CoolParams;
  covariance: readonly (readonly number[])[];
}

export function newCooling(): Cooling {
  return {
    everyMs: SAMPLE_EVERY_MS,
    samples: [],
    coldestC: null,
    fits: [],
    keptAt: Number.NEGATIVE_INFINITY,
    widths: newWidths(JUDGED_MS, LEARNS),
  };
}

/** Notes a board's own temperature, °C: a hint of the air outside. */
export function noteJunction(cooling: Cooling, junctionC: number | null): void {
  if (junctionC !== null) cooling.coldestC = Math.min(cooling.coldestC ?? junctionC, junctionC);
}

/** Forgets a cooling that was none: the kiln burns. */
export function resetCooling(cooling: Cooling): void {
  Object.assign(cooling, { ...newCooling(), coldestC: cooling.coldestC });
}

/** Takes the level in once a minute or so while the closed kiln cools; fits anew when it keeps a sample. */
export function learnCooling(cooling: Cooling, at: number, levelC: number): void {
  judgeWidths(cooling.widths, at, levelC);
  const { samples } = cooling;
  if (at - (samples.at(-1)?.at ?? Number.NEGATIVE_INFINITY) >= cooling.everyMs) {
    samples.push({ at, tempC: levelC });
    if (samples.length > MOST_SAMPLES) thin(cooling);
    const fits = fitted(cooling);
    if (fits.length > 0) cooling.fits = fits.map(({ params, covariance }) => ({ params, covariance }));
  }
  if (at - cooling.keptAt < KEPT_EVERY_MS) return;
  const ahead = coolAhead({ ...cooling, widths: newWidths(JUDGED_MS, LEARNS) }, at, levelC);
  if (!ahead) return;
  cooling.keptAt = at;
  const levels = JUDGED_MS.map((ms) => asSeen(coolLevel(ahead, ms)));
  cooling.widths.pending.push({ at, levels });
}

/** A level ahead as it will be seen: it is judged by one that is no surer than that of now. */
function asSeen({ lowC, midC, highC }: LevelAhead): LevelAhead {
  const seenC = NORMAL_80 * LEVEL_SD_C;
  return { lowC: midC - Math.hypot(midC - lowC, seenC), midC, highC: midC + Math.hypot(highC - midC, seenC) };
}

function thin(cooling: Cooling): void {
  cooling.everyMs *= 2;
  const last = cooling.samples.length - 1;
  cooling.samples = cooling.samples.filter((_, i) => i === 0 || i === last || i % 2 === 0);
}

/** What is believed of each parameter before any reading, for a cooling that began at `startC`. */
function believed({ coldestC }: Cooling, startC: number): { mean: number; sd: number }[] {
  const airC = coldestC === null ? USUAL_AIR_C : coldestC - SHED_WARMER_C;
  return [...Object.values(USUAL), { mean: startC, sd: START_SD_C }, { mean: airC, sd: AIR_SD_C }];
}

/** The fits that are likely, the best one first: the usual kiln and a small one are two valleys, hard to tell apart early. */
function fitted(cooling: Cooling): (Fit & { sumSquares: number })[] {
  const { samples } = cooling;
  const [first, last] = [samples[0], samples.at(-1)];
  if (!first || !last) return [];
  const prior = believed(cooling, first.tempC);
  const weigh = Math.sqrt(Math.max(samples.length / WEIGH_AS, 1));
  const data = samples.map(({ at, tempC }) => ({
    hour: (at - first.at) / HOUR_MS,
    tempC,
    sdC: weigh * (FITTED_SD_C + FAR_SD_PART * Math.abs(tempC - last.tempC)),
  }));
  const hours = data.at(-1)?.hour ?? 0;
  const residuals = (params: CoolParams) => {
    const course = coolCourse(params, hours);
    const ofPrior = prior.map(({ mean, sd }, i) => ((params[i] ?? 0) - mean) / sd);
    const ofData = data.map(({ hour, tempC, sdC }) => (courseTempC(course, hour) - tempC) / sdC);
    return [...ofPrior, ...ofData];
  };
  const usual = prior.map(({ mean }) => mean);
  const small = usual.map((param, i) => (QUICK_IN_SMALL.includes(i) ? param + SMALL_LN_QUICKER : param));
  const found = [cooling.fits[0]?.params ?? usual, small].flatMap(
    (start) => leastSquares(residuals, start, WORTH_A_ROUND) ?? [],
  );
  found.sort((one, other) => one.sumSquares - other.sumSquares);
  const least = found[0]?.sumSquares ?? 0;
  return found.filter(({ sumSquares }) => sumSquares < least + STILL_LIKELY);
}

/** A fit whose sum of squares is larger by this is not a fiftieth as likely as the best one. */
const STILL_LIKELY = 8;
/** Heat goes through a small kiln's walls and out of them several times as quickly, by its inside's heat. */
const QUICK_IN_SMALL = [1, 2, 3];
const SMALL_LN_QUICKER = Math.log(4);

/** A fit that is soon made anew need not be driven further than this. */
const WORTH_A_ROUND = 1e-4;

/** The model's own uncertainty, as a part of what changes in so many hours. */
function modelPart(hours: number): number {
  return MODEL_SD_PART * (hours / MODEL_SD_H) ** MODEL_SD_POWER;
}

/** The course that is expected from an instant on, and courses with each parameter moved by one deviation of its own. */
export interface CoolAhead {
  levelC: number;
  course: Course;
  /** Hour of the course at which it is as hot as the kiln is now. */
  nowH: number;
  moved: { course: Course; nowH: number; by: number }[];
  covariance: readonly (readonly number[])[];
  widths: Widths;
  /** What another fit that is likely, too, expects. */
  others: CoolAhead[];
}

/** From `levelC` at `at` on, down to `untilC`; null before anything was learnt. */
export function coolAhead(
  cooling: Cooling,
  at: number,
  levelC: number,
  untilC = Number.NEGATIVE_INFINITY,
): CoolAhead | null {
  const first = cooling.samples[0];
  if (!first) return null;
  const soFarH = (at - first.at) / HOUR_MS;
  const forH = untilC === Number.NEGATIVE_INFINITY ? soFarH + KEPT_FOR_H : soFarH + LONGEST_H;
  const from = (params: CoolParams) => {
    const course = coolCourse(params, forH, untilC);
    return { course, nowH: courseHour(course, levelC) ?? soFarH };
  };
  const [best, ...others] = cooling.fits.map(({ params, covariance }): CoolAhead => {
    const moved = params.map((_, i) => {
      const by = MOVED_PART * Math.sqrt(covariance[i]?.[i] ?? 0);
      return { ...from(params.map((param, k) => (k === i ? param + by : param))), by };
    });
    return { levelC, ...from(params), moved, covariance, widths: cooling.widths, others: [] };
  });
  return best ? { ...best, others } : null;
}

/** So far a course must reach for its forecasts to be judged, h. */
const KEPT_FOR_H = 50;
/** Parameters are moved by so much of their deviation to see what depends on them. */
const MOVED_PART = 0.3;

/** Variance of a figure that depends on the parameters, from what each move changes. */
function varianceOf({ covariance, moved }: CoolAhead, changes: readonly number[]): number {
  const slopes = changes.map((change, i) => change / (moved[i]?.by || 1));
  let sum = 0;
  slopes.forEach((a, i) => {
    const row = covariance[i] ?? [];
    slopes.forEach((b, k) => {
      sum += a * b * (row[k] ?? 0);
    });
  });
  return Math.max(sum, 0);
}

/** Hours from now until `tempC`, or null where the course does not get there. */
function hoursTo({ course, nowH }: Pick<CoolAhead, 'course' | 'nowH'>, tempC: number): number | null {
  const hour = courseHour(course, tempC);
  return hour === null ? null : Math.max(hour - nowH, 0);
}

/** How long until `tempC`, ms, with its 80 % interval; null where the course does not get there in two weeks. */
export function coolSpan(ahead: CoolAhead, tempC: number): CoolSpan | null {
  if (ahead.levelC <= tempC) return { low: 0, mid: 0, high: 0 };
  const span = spanOf(ahead, tempC);
  const others = ahead.others.flatMap((other) => spanOf(other, tempC) ?? []);
  return (
    span && {
      low: Math.min(span.low, ...others.map(({ low }) => low)),
      mid: span.mid,
      high: Math.max(span.high, ...others.map(({ high }) => high)),
    }
  );
}

interface CoolSpan {
  low: number;
  mid: number;
  high: number;
}

function spanOf(ahead: CoolAhead, tempC: number): CoolSpan | null {
  const hours = hoursTo(ahead, tempC);
  if (hours === null) return null;
  const near = Math.max(hours, NEAR_H);
  const changes = ahead.moved.map((moved) =>
    Math.log(Math.max(hoursTo(moved, tempC) ?? LONGEST_H, NEAR_H) / near),
  );
  const climbCPerH = slopeAt(ahead, hours);
  const levelH = LEVEL_SD_C / Math.max(Math.abs(climbCPerH), LEAST_CLIMB_C_PER_H);
  const part = Math.hypot(Math.sqrt(varianceOf(ahead, changes)), modelPart(hours));
  const width = NORMAL_80 * widthAt(ahead.widths, Math.max(hours * HOUR_MS, 1));
  const longer = hours * Math.exp(width * part) - hours;
  const shorter = hours - hours * Math.exp(-width * part);
  return {
    low: Math.max(hours - Math.hypot(shorter, width * levelH), 0) * HOUR_MS,
    mid: hours * HOUR_MS,
    high: (hours + Math.hypot(longer, width * levelH)) * HOUR_MS,
  };
}

const NEAR_H = 0.05;
const LEAST_CLIMB_C_PER_H = 0.5;

function slopeAt({ course, nowH }: CoolAhead, hours: number): number {
  return (courseTempC(course, nowH + hours) - courseTempC(course, nowH + hours - 0.5)) / 0.5;
}

/** Level after so many ms with its 80 % interval, °C. */
export function coolLevel(ahead: CoolAhead, ms: number): LevelAhead {
  const level = levelOf(ahead, ms);
  const others = ahead.others.map((other) => levelOf(other, ms));
  return {
    lowC: Math.min(level.lowC, ...others.map(({ lowC }) => lowC)),
    midC: level.midC,
    highC: Math.max(level.highC, ...others.map(({ highC }) => highC)),
  };
}

function levelOf(ahead: CoolAhead, ms: number): LevelAhead {
  const hours = ms / HOUR_MS;
  const at = ({ course, nowH }: Pick<CoolAhead, 'course' | 'nowH'>) => courseTempC(course, nowH + hours);
  const midC = at(ahead);
  const changes = ahead.moved.map((moved) => at(moved) - midC);
  const modelC = modelPart(hours) * Math.abs(ahead.levelC - midC);
  const sdC = Math.hypot(Math.sqrt(varianceOf(ahead, changes)), modelC, LEVEL_SD_C);
  const offC = NORMAL_80 * widthAt(ahead.widths, Math.max(ms, 1)) * sdC;
  return { lowC: midC - offC, midC, highC: midC + offC };
}
