/**
 * How the kiln climbs from now on, with an 80 % interval that is learnt as the firing goes.
 *
 * What is expected is the mean climb of the last two hours or so of climbing; where the climb of now is another, it goes
 * back to that within half an hour or so, as a fire that was stoked unevenly does. Toward the plan's top it slows: late,
 * every 20 °F is won slowly (a potters' saying; common practice, no source). How fast it will be is uncertain by a
 * part of itself that grows with the time ahead, and so is how much it will slow.
 */
import type { Plan } from '../../../protocol/plan.ts';
import { HOUR_MS, MINUTE_MS } from '../../../protocol/units.ts';
import { dropPending, judgeWidths, newWidths, type Widths, widthAt } from './widths.ts';

/** Two-sided 80 % of the normal distribution. */
const NORMAL_80 = 1.2816;

/** The mean climb is remembered so long; and the climb of now counts in it as if it had been for so long. */
const MEMORY_H = 2;
const NOW_COUNTS_H = 0.3;
/** A climb below half of the usual is a trouble that is being mended, and is learnt only so far. */
const TROUBLE_PART = 0.5;
const TROUBLE_COUNTS = 0.25;
/** A gap longer than this is not learnt from. */
const LONGEST_GAP_MS = 10 * MINUTE_MS;
/** The climb of now goes back to the usual one in this time (by the factor e). */
const BACK_TO_USUAL_H = 0.2;
/** No forecast goes by a slower usual climb than this, °C/h. */
const LEAST_USUAL_C_PER_H = 2;

/** So far below the top it begins to slow; and what is left of the climb at the top: as expected, at least, at most. */
const SLOWS_FOR_C = 300;
const LEFT_AT_TOP = { mid: 0.15, slow: 0.08, fast: 0.3 };

/** Uncertainty, as standard deviations: the level of now, °C; the usual climb as a part, at once and after an hour. */
const LEVEL_SD_C = 1.5;
const USUAL_SD_PART = 0.12;
const USUAL_WANDER_PART = 0.16;
/** How much of the climb's own deviation, and of its distance from the usual one, may stay for a while. */
const CLIMB_SD_STAYS = 0.35;
const DISTANCE_STAYS = 0.7;

/** Judged so far ahead. */
const JUDGED_MS = [20 * MINUTE_MS, HOUR_MS, 3 * HOUR_MS];
const LEARNS = JUDGED_MS.map(() => 0.07);
const KEPT_EVERY_MS = 10 * MINUTE_MS;
const STEP_MS = 10 * MINUTE_MS;

export interface ClimbLearnt {
  at: number | null;
  levelC: number;
  /** Which probes spoke: others stand at another level. */
  of: string;
  /** Heat won in the hours remembered, and those hours, both fading; hours count less where the kiln slows. */
  wonC: number;
  hours: number;
  keptAt: number;
  widths: Widths;
}

export function newClimbLearnt(): ClimbLearnt {
  return {
    at: null,
    levelC: 0,
    of: '',
    wonC: 0,
    hours: 0,
    keptAt: Number.NEGATIVE_INFINITY,
    widths: newWidths(JUDGED_MS, LEARNS),
  };
}

/** The kiln at an instant; °C, °C/h. */
export interface ClimbNow {
  levelC: number;
  climbCPerH: number;
  climbSdCPerH: number;
}

/** What of the climb is left at `tempC`, as a part of what it is far below the top. */
function slowing(tempC: number, topC: number, leftAtTop: number): number {
  const part = Math.min(Math.max((tempC - topC + SLOWS_FOR_C) / SLOWS_FOR_C, 0), 1);
  return 1 - (1 - leftAtTop) * part;
}

/** The climb that is usual for this firing where nothing slows it, °C/h. */
function usualClimb({ wonC, hours }: ClimbLearnt, { levelC, climbCPerH }: ClimbNow, topC: number): number {
  const slowed = slowing(levelC, topC, LEFT_AT_TOP.mid);
  const learnt = hours > 0 ? (wonC / hours) * slowed : climbCPerH;
  const now = Math.max(climbCPerH, TROUBLE_PART * learnt);
  return Math.max((wonC + NOW_COUNTS_H * now) / (hours + NOW_COUNTS_H * slowed), LEAST_USUAL_C_PER_H);
}

/** Learns from the kiln once a minute or so while it climbs. `of`: the probes that speak for it. */
export function learnClimb(learnt: ClimbLearnt, at: number, now: ClimbNow, plan: Plan, of: string): void {
  const sinceMs = at - (learnt.at ?? at);
  if (of !== learnt.of) dropPending(learnt.widths);
  else if (sinceMs > 0 && sinceMs <= LONGEST_GAP_MS) addClimb(learnt, sinceMs, now, plan.topC);
  learnt.at = at;
  learnt.levelC = now.levelC;
  learnt.of = of;
  judgeWidths(learnt.widths, at, now.levelC);
  if (at - learnt.keptAt < KEPT_EVERY_MS) return;
  learnt.keptAt = at;
  const bare = { ...learnt, widths: newWidths(JUDGED_MS, LEARNS) };
  const path = climbPath(bare, now, plan, [], JUDGED_MS.at(-1) ?? 0);
  const levels = JUDGED_MS.map((ms) => levelAt(path, ms));
  learnt.widths.pending.push({ at, levels });
}

function addClimb(learnt: ClimbLearnt, sinceMs: number, now: ClimbNow, topC: number): void {
  const middleC = (now.levelC + learnt.levelC) / 2;
  const slowed = slowing(middleC, topC, LEFT_AT_TOP.mid);
  const usual = usualClimb(learnt, now, topC) * slowed;
  const counts = Math.min(Math.max(now.climbCPerH / (TROUBLE_PART * usual), TROUBLE_COUNTS), 1);
  const hours = (counts * sinceMs) / HOUR_MS;
  const fades = Math.exp(-hours / MEMORY_H);
  learnt.wonC = learnt.wonC * fades + counts * (now.levelC - learnt.levelC);
  learnt.hours = learnt.hours * fades + hours * slowed;
}

/** The kiln does something else for a while: what was said of its climb is not judged, and a jump is no climb. */
export function pauseClimb(learnt: ClimbLearnt): void {
  learnt.at = null;
  dropPending(learnt.widths);
}

/** A course of the level ahead in even steps, with its 80 % interval; °C. */
export interface Path {
  stepMs: number;
  lowC: number[];
  midC: number[];
  highC: number[];
}

/** A planned hold on the way. */
export interface HoldAhead {
  atC: number;
  minutes: number;
}

/** The level from now on for `forMs`, kept for each hold on the way, and no hotter than the plan's top. */
export function climbPath(
  learnt: ClimbLearnt,
  now: ClimbNow,
  plan: Plan,
  holds: readonly HoldAhead[],
  forMs: number,
): Path {
  const topC = Math.max(plan.topC, now.levelC);
  const usual = usualClimb(learnt, now, topC);
  const begins = usual * slowing(now.levelC, topC, LEFT_AT_TOP.mid);
  const distance = now.climbCPerH - begins;
  const stays = Math.hypot(CLIMB_SD_STAYS * now.climbSdCPerH, DISTANCE_STAYS * distance);
  const walk = (leftAtTop: number) => {
    const from = begins / slowing(now.levelC, topC, leftAtTop);
    return newWalk(now.levelC, holds, (tempC) => from * slowing(tempC, topC, leftAtTop));
  };
  const [slow, mid, fast] = [walk(LEFT_AT_TOP.slow), walk(LEFT_AT_TOP.mid), walk(LEFT_AT_TOP.fast)];
  const path: Path = { stepMs: STEP_MS, lowC: [], midC: [], highC: [] };
  const stepH = STEP_MS / HOUR_MS;
  // The mean over a step of what fades.
  const beside = (BACK_TO_USUAL_H / stepH) * (1 - Math.exp(-stepH / BACK_TO_USUAL_H));
  for (let ms = 0; ms <= forMs; ms += STEP_MS) {
    const h = ms / HOUR_MS;
    const width = NORMAL_80 * widthAt(learnt.widths, Math.max(ms, 1));
    const fades = Math.exp(-h / BACK_TO_USUAL_H);
    const ownC = width * both(LEVEL_SD_C, stays * BACK_TO_USUAL_H * (1 - fades));
    path.midC.push(mid.tempC);
    path.lowC.push(mid.tempC - both(ownC, Math.min(slow.tempC - mid.tempC, 0)));
    path.highC.push(mid.tempC + both(ownC, Math.max(fast.tempC - mid.tempC, 0)));
    const times = Math.exp(width * both(USUAL_SD_PART, USUAL_WANDER_PART * Math.sqrt(h)));
    const besideCPerH = distance * fades * beside;
    goOn(slow, stepH, 1 / times, besideCPerH, topC);
    goOn(mid, stepH, 1, besideCPerH, topC);
    goOn(fast, stepH, times, besideCPerH, topC);
  }
  return path;
}

/** Two independent deviations together. Not by Math.hypot, which is ten times slower and guards against what is none here. */
function both(a: number, b: number): number {
  return Math.sqrt(a * a + b * b);
}

interface Walk {
  tempC: number;
  holds: HoldAhead[];
  leftH: number;
  usualAt: (tempC: number) => number;
}

function newWalk(tempC: number, holds: readonly HoldAhead[], usualAt: Walk['usualAt']): Walk {
  return { tempC, holds: [...holds].sort((a, b) => a.atC - b.atC), leftH: 0, usualAt };
}

function goOn(walk: Walk, stepH: number, times: number, besideCPerH: number, topC: number): void {
  const heldH = Math.min(walk.leftH, stepH);
  walk.leftH -= heldH;
  const climbCPerH = walk.usualAt(walk.tempC) * times + besideCPerH;
  walk.tempC = Math.min(walk.tempC + climbCPerH * (stepH - heldH), topC);
  const hold = walk.holds[0];
  if (!hold || walk.tempC < hold.atC) return;
  walk.holds.shift();
  walk.tempC = hold.atC;
  walk.leftH = hold.minutes / 60;
}

/** Level after so many ms, straight between the steps; °C. */
export function levelAt(path: Path, ms: number): { lowC: number; midC: number; highC: number } {
  const step = ms / path.stepMs;
  const i = Math.min(Math.floor(step), Math.max(path.midC.length - 2, 0));
  const of = (values: readonly number[]) => {
    const from = values[i] ?? Number.NaN;
    return from + ((values[i + 1] ?? from) - from) * (step - i);
  };
  return { lowC: of(path.lowC), midC: of(path.midC), highC: of(path.highC) };
}
