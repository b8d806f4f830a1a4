/** Two firings beside each other, in words as one would say them at the fire. */
import { type Apart, apart, atHeat } from '../../collector/core/firing-facts/compare.ts';
import type { FigureName } from '../../collector/core/firing-facts/figures.ts';
import { formatCone, parseCone } from '../../protocol/cones.ts';
import type { FiringFacts, FiringFactsAnswer } from '../../protocol/firing-facts.ts';
import { HOUR_MS, MINUTE_MS, poundsFromKg, type TemperatureUnit } from '../../protocol/units.ts';
import { sayBetween, sayCone, sayDecimal, sayShort, sayTemp, sayWeight } from '../say.ts';
import { LEARN } from '../words.ts';
import type { Read } from './beside.ts';

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
function sayApart(ms: number): string {
  const minutes = Math.round(Math.abs(ms) / MINUTE_MS);
  return minutes < 60 ? LEARN.minutes(minutes) : LEARN.hoursMinutes(Math.floor(minutes / 60), minutes % 60);
}

/** Nobody weighs a pile to a hundred grams. */
const wholeKg = (kg: number) => `${Math.round(kg)}\u00a0kg`;

const tenths = (figure: number) => Math.round(figure * 10) / 10;

/** Wood as it is stacked with °F, and in kilograms with °C. */
export function sayWood(kg: number, kgPerFaceCord: number, unit: TemperatureUnit): string {
  return unit === 'C' ? wholeKg(kg) : LEARN.faceCords(sayDecimal(kg / kgPerFaceCord, 1));
}

/** A difference of wood in face cords. */
function sayCords(cords: number): string {
  if (Math.abs(cords - HALF) < 0.05) return LEARN.halfFaceCord;
  if (Math.abs(cords - 1) < 0.05) return LEARN.aFaceCord;
  return LEARN.faceCords(sayDecimal(cords, 1));
}

/** Between two figures of wood as they are shown. */
function sayWoodApart(
  kg: readonly [number, number],
  kgPerFaceCord: readonly [number, number],
  unit: TemperatureUnit,
): string {
  if (unit === 'C') return wholeKg(Math.abs(Math.round(kg[0]) - Math.round(kg[1])));
  return sayCords(Math.abs(tenths(kg[0] / kgPerFaceCord[0]) - tenths(kg[1] / kgPerFaceCord[1])));
}

function sayCones(steps: number): string {
  const size = Math.abs(steps);
  if (Math.abs(size - HALF) < 0.08) return LEARN.halfCone;
  if (Math.abs(size - 1) < 0.05) return LEARN.aCone;
  return size < 1 ? LEARN.cones(sayDecimal(size, 1)) : LEARN.conesMany(sayDecimal(size, 1));
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
      return sayCone(formatCone(value) ?? LEARN.notKnown);
    case 'coneSpread':
      return sayDecimal(value, 1);
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

/** A cone as it is shown, on the scale of `parseCone`. */
const shownCone = (cone: number) => parseCone(formatCone(cone) ?? '') ?? cone;

/** A span as `sayShort` shows it: whole minutes, from two days on whole hours. */
function shownMs(ms: number): number {
  const step = ms < 48 * HOUR_MS ? MINUTE_MS : HOUR_MS;
  return Math.floor(ms / step) * step;
}

/** How far apart two figures are as they are shown: whoever reckons it after finds the same. */
function sizeOf(
  { figure, one, other }: Apart,
  kgPerFaceCord: readonly [number, number],
  unit: TemperatureUnit,
): string {
  const size = Math.abs(one - other);
  switch (figure) {
    case 'topC':
      return sayBetween(one, other, unit);
    case 'topCone':
      return sayCones(shownCone(one) - shownCone(other));
    case 'coneSpread':
      return sayCones(tenths(one) - tenths(other));
    case 'woodKg':
    case 'woodToSaltingKg':
      return sayWoodApart([one, other], kgPerFaceCord, unit);
    case 'saltKg':
      return saltApart(one, other, unit);
    case 'stokes':
      return LEARN.stokes(size);
    case 'stalls':
      return LEARN.stallCount(size);
    case 'pieces':
      return LEARN.pieces(size);
    default:
      return sayApart(shownMs(one) - shownMs(other));
  }
}

function saltApart(one: number, other: number, unit: TemperatureUnit): string {
  const shown = (kg: number) => tenths(unit === 'F' ? poundsFromKg(kg) : kg);
  return `${sayDecimal(Math.abs(shown(one) - shown(other)), 1)}\u00a0${unit === 'F' ? 'lb' : 'kg'}`;
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
  const cords = [one.facts.kgPerFaceCord, other.facts.kgPerFaceCord] as const;
  for (const each of apart(one.facts, other.facts, burning)) {
    const { figure, by } = each;
    if (Math.abs(by) < WORTH[figure]) same.push(LEARN.figures[figure]);
    else differs.push(capital(LEARN.apart[figure](sizeOf(each, cords, unit), by < 0)));
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
      ? [
          LEARN.wood(
            unit === 'C' ? wholeKg(Math.abs(woodKg)) : sayCords(Math.abs(woodKg) / one.kgPerFaceCord),
            woodKg < 0,
          ),
        ]
      : []),
    ...(stokes !== null && Math.abs(stokes) >= WORTH.stokes ? [LEARN.stokesApart(stokes)] : []),
  ];
  return more.length === 0 ? [first] : [first, LEARN.byNow(more.join(LEARN.and))];
}

/** `40 °F colder than the spring firing at this hour.`; `…` while what was read then is on its way. */
export function hourWords(
  one: Read | null | undefined,
  other: Read | null | undefined,
  otherName: string,
  unit: TemperatureUnit,
): string {
  if (one === undefined || other === undefined) return '…';
  if (one === null || other === null) return LEARN.neverThere;
  const apartC = one.kilnC - other.kilnC;
  if (Math.abs(apartC) < LEVEL_C) return LEARN.asHot(otherName);
  const difference = sayBetween(one.kilnC, other.kilnC, unit);
  return apartC > 0 ? LEARN.hotter(difference, otherName) : LEARN.colder(difference, otherName);
}
