/** Two firings beside each other, in words as one would say them at the fire. */
import { type Apart, apart, atHeat, heatAfter } from '../../collector/core/firing-facts/compare.ts';
import type { FigureName } from '../../collector/core/firing-facts/figures.ts';
import { formatCone } from '../../protocol/cones.ts';
import type { FiringFacts, FiringFactsAnswer } from '../../protocol/firing-facts.ts';
import { MINUTE_MS, type TemperatureUnit } from '../../protocol/units.ts';
import { sayDifference, sayShort, sayTemp, sayWeight } from '../say.ts';
import { LEARN } from '../words.ts';

/** Below these two firings are much the same in it: less is not worth a word. */
const WORTH: Record<FigureName, number> = {
  toSaltingMs: 10 * MINUTE_MS,
  burntMs: 15 * MINUTE_MS,
  topC: 4,
  topCone: 0.15,
  coneSpread: 0.25,
  woodKg: 40,
  woodToSaltingKg: 40,
  stokes: 3,
  saltKg: 0.5,
  saltedMs: 4 * MINUTE_MS,
  stalls: 1,
  stallMs: 5 * MINUTE_MS,
  tooFastMs: 5 * MINUTE_MS,
  coolingMs: 120 * MINUTE_MS,
  pieces: 1,
};
/** As long as this is level at one heat, and as many °C at one hour. */
const LEVEL_MS = 2.5 * MINUTE_MS;
const LEVEL_C = 3;
const HALF = 0.5;

/** `38 min`, `2 h 10 min`. */
export function sayApart(ms: number): string {
  const minutes = Math.round(Math.abs(ms) / MINUTE_MS);
  return minutes < 60 ? LEARN.minutes(minutes) : LEARN.hoursMinutes(Math.floor(minutes / 60), minutes % 60);
}

/** Nobody weighs a pile to a hundred grams. */
const wholeKg = (kg: number) => `${Math.round(kg)}\u00a0kg`;

/** Wood as it is stacked with °F, and in kilograms with °C. */
export function sayWood(kg: number, kgPerFaceCord: number, unit: TemperatureUnit): string {
  return unit === 'C' ? wholeKg(kg) : LEARN.faceCords((kg / kgPerFaceCord).toFixed(1));
}

/** A difference of wood: quarters of a face cord are near enough at the pile. */
function sayWoodApart(kg: number, kgPerFaceCord: number, unit: TemperatureUnit): string {
  const size = Math.abs(kg);
  const cords = size / kgPerFaceCord;
  if (unit === 'C') return wholeKg(size);
  if (Math.abs(cords - HALF) < 0.1) return LEARN.halfFaceCord;
  if (Math.abs(cords - 1) < 0.05) return LEARN.aFaceCord;
  return LEARN.faceCords(cords.toFixed(1));
}

function sayCones(steps: number): string {
  const size = Math.abs(steps);
  if (Math.abs(size - HALF) < 0.08) return LEARN.halfCone;
  return size <= 1.05 ? LEARN.cones(size.toFixed(1)) : LEARN.conesMany(size.toFixed(1));
}

/** A figure of one firing. */
export function sayFigure(
  name: FigureName,
  value: number,
  facts: FiringFacts,
  unit: TemperatureUnit,
): string {
  switch (name) {
    case 'topC':
      return sayTemp(value, unit);
    case 'topCone':
      return formatCone(value) ?? LEARN.notKnown;
    case 'coneSpread':
      return value.toFixed(1);
    case 'woodKg':
    case 'woodToSaltingKg':
      return sayWood(value, facts.kgPerFaceCord, unit);
    case 'saltKg':
      return sayWeight(value, unit);
    case 'stokes':
    case 'stalls':
    case 'pieces':
      return String(value);
    default:
      return sayShort(value);
  }
}

function sizeOf({ figure, by }: Apart, facts: FiringFacts, unit: TemperatureUnit): string {
  const size = Math.abs(by);
  switch (figure) {
    case 'topC':
      return sayDifference(size, unit);
    case 'topCone':
    case 'coneSpread':
      return sayCones(size);
    case 'woodKg':
    case 'woodToSaltingKg':
      return sayWoodApart(size, facts.kgPerFaceCord, unit);
    case 'saltKg':
      return sayWeight(size, unit);
    case 'stokes':
      return LEARN.stokes(size);
    case 'stalls':
      return LEARN.stallCount(size);
    case 'pieces':
      return LEARN.pieces(size);
    default:
      return sayApart(by);
  }
}

const capital = (text: string) => text.charAt(0).toUpperCase() + text.slice(1);

/**
 * What is different, a sentence each, and what is much the same. `burning`: one of the two burns still, and what goes on
 * growing is left out.
 */
export function apartWords(
  one: FiringFactsAnswer,
  other: FiringFactsAnswer,
  unit: TemperatureUnit,
  burning = false,
): { differs: string[]; same: string[] } {
  const differs: string[] = [];
  const same: string[] = [];
  const yields = [one.yield, other.yield].map((each) => each && Math.round(100 * each.share));
  const [mine, its] = yields;
  if (typeof mine === 'number' && typeof its === 'number') differs.push(LEARN.yieldApart(mine, its));
  for (const each of apart(one.facts, other.facts, burning)) {
    const { figure, by } = each;
    if (Math.abs(by) < WORTH[figure]) same.push(LEARN.figures[figure]);
    else differs.push(capital(LEARN.apart[figure](sizeOf(each, one.facts, unit), by < 0)));
  }
  return { differs, same };
}

/** `38 min behind the spring firing at this heat.`, and what had gone in by then. */
export function heatWords(
  one: FiringFacts,
  other: FiringFacts,
  otherName: string,
  tempC: number,
  unit: TemperatureUnit,
): string[] {
  const stood = atHeat(one, other, tempC);
  if (!stood) return [LEARN.neverThere];
  const { behindMs, woodKg, stokes } = stood;
  const span = sayApart(behindMs);
  const first =
    Math.abs(behindMs) < LEVEL_MS
      ? LEARN.level(otherName)
      : behindMs > 0
        ? LEARN.behind(span, otherName)
        : LEARN.ahead(span, otherName);
  const more = [
    ...(woodKg !== null && Math.abs(woodKg) >= WORTH.woodKg
      ? [LEARN.wood(sayWoodApart(woodKg, one.kgPerFaceCord, unit), woodKg < 0)]
      : []),
    ...(stokes !== null && Math.abs(stokes) >= WORTH.stokes ? [LEARN.stokesApart(stokes)] : []),
  ];
  return more.length === 0 ? [first] : [first, LEARN.byNow(more.join(LEARN.and))];
}

/** `40 °F colder than the spring firing at this hour.` */
export function hourWords(
  one: FiringFacts,
  other: FiringFacts,
  otherName: string,
  afterMs: number,
  unit: TemperatureUnit,
): string {
  const [a, b] = [heatAfter(one, afterMs), heatAfter(other, afterMs)];
  if (a === null || b === null) return LEARN.neverThere;
  const difference = sayDifference(a - b, unit);
  if (Math.abs(a - b) < LEVEL_C) return LEARN.asHot(otherName);
  return a > b ? LEARN.hotter(difference, otherName) : LEARN.colder(difference, otherName);
}
