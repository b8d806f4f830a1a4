/** Figures and times as people say them at a kiln. Inside everything is °C, °C/h, kilograms and milliseconds. */
import type { Stage } from '../protocol/stages.ts';
import { fFromC, fPerHFromCPerH, poundsFromKg, type TemperatureUnit } from '../protocol/units.ts';
import { LOCALE, PLAN, said, TIME, UNITS } from './words.ts';

/** Where the words are read: both are the reader's own unless told. */
export interface Place {
  locale?: string;
  timeZone?: string;
}

const MINUTE = 60_000;
const HOUR = 60 * MINUTE;
const DAY = 24 * HOUR;
/** Binds a figure to its unit, so that a line never breaks between them. */
const NBSP = '\u00a0';
const MINUS = '\u2212';
/** A gram in ounces avoirdupois: a sixteenth of a pound of exactly 453.59237 g (NIST Handbook 44). */
const OUNCES_A_POUND = 16;

function signed(value: number): string {
  return value < 0 ? `${MINUS}${-value}` : `${value}`;
}

const decimals = new Map<number | undefined, Intl.NumberFormat>();

/** A figure with so many digits behind the point, or as many as it has: `12.3`, where people write it so `12,3`. */
export function sayDecimal(value: number, digits?: number): string {
  const known = decimals.get(digits);
  const made =
    known ??
    new Intl.NumberFormat(LOCALE, {
      useGrouping: false,
      signDisplay: 'negative',
      ...(digits === undefined ? {} : { minimumFractionDigits: digits, maximumFractionDigits: digits }),
    });
  decimals.set(digits, made);
  return made.format(value).replace('-', MINUS);
}

/** A cone with its tenth as people write it: `9.4`, or `9,4`. */
export function sayCone(cone: string): string {
  return cone.replace('.', sayDecimal(0.5, 1).charAt(1));
}

/** A temperature's figure without its unit, in whole degrees: `2236`. */
export function tempFigure(tempC: number, unit: TemperatureUnit): string {
  const rounded = Math.round(unit === 'F' ? fFromC(tempC) : tempC);
  return signed(rounded === 0 ? 0 : rounded);
}

/** `°F` or `°C`. */
export function unitSign(unit: TemperatureUnit): string {
  return unit === 'F' ? '°F' : '°C';
}

/** `2236 °F`. */
export function sayTemp(tempC: number, unit: TemperatureUnit): string {
  return `${tempFigure(tempC, unit)}${NBSP}${unitSign(unit)}`;
}

/** A difference of temperature, without sign: `9 °F`. */
export function sayDifference(differenceC: number, unit: TemperatureUnit): string {
  const size = Math.abs(unit === 'F' ? fPerHFromCPerH(differenceC) : differenceC);
  return `${Math.round(size)}${NBSP}${unitSign(unit)}`;
}

/** The difference of two temperatures as they are shown, without sign: `11 °C` between 1199 and 1210. */
export function sayBetween(oneC: number, otherC: number, unit: TemperatureUnit): string {
  const [one, other] = [oneC, otherC].map((tempC) => Math.round(unit === 'F' ? fFromC(tempC) : tempC));
  return `${Math.abs((one ?? 0) - (other ?? 0))}${NBSP}${unitSign(unit)}`;
}

/** What a stoke brings or takes, with its sign: `+11 °F`, `−4 °F`; that it brings nothing has none. */
export function sayGain(gainC: number, unit: TemperatureUnit): string {
  const size = sayDifference(gainC, unit);
  return size.startsWith(`0${NBSP}`) ? size : `${gainC < 0 ? MINUS : '+'}${size}`;
}

/** Below this the kiln is said to stand still: about 5 °F an hour, our own choice. */
const STILL_C_PER_H = 3;

export type Way = 'up' | 'down' | 'still';

/** A closed kiln takes days to cool: it stands still only below this. */
const STILL_WHEN_COOLING_C_PER_H = 0.5;

/** Which way the kiln goes, for a word and an arrow. */
export function wayOf(climbCPerH: number, stage?: Stage): Way {
  const cools = stage === 'cooling' || stage === 'open';
  if (Math.abs(climbCPerH) < (cools ? STILL_WHEN_COOLING_C_PER_H : STILL_C_PER_H)) return 'still';
  return climbCPerH > 0 ? 'up' : 'down';
}

/** A climb with its sign: `+62 °F an hour`, `−20 °F an hour`. */
export function sayClimb(climbCPerH: number, unit: TemperatureUnit): string {
  const rounded = Math.round(unit === 'F' ? fPerHFromCPerH(climbCPerH) : climbCPerH);
  const sign = rounded > 0 ? '+' : rounded < 0 ? MINUS : '';
  return TIME.perHour(`${sign}${Math.abs(rounded)}${NBSP}${unitSign(unit)}`);
}

/** A span told exactly: `40 seconds`, `12 minutes`, `1 hour 5 minutes`, `3 days 4 hours`. Negative counts as none. */
export function saySpan(spanMs: number): string {
  const ms = Math.max(0, spanMs);
  if (ms < MINUTE) return TIME.seconds(Math.floor(ms / 1000));
  if (ms < HOUR) return TIME.minutes(Math.floor(ms / MINUTE));
  const [bigMs, big, smallMs, small] =
    ms < 2 * DAY ? [HOUR, TIME.hours, MINUTE, TIME.minutes] : [DAY, TIME.days, HOUR, TIME.hours];
  const bigs = Math.floor(ms / bigMs);
  const smalls = Math.floor((ms - bigs * bigMs) / smallMs);
  return smalls === 0 ? big(bigs) : `${big(bigs)} ${small(smalls)}`;
}

/** A span in few letters: `8 s`, `12 min`, `1 h 05`, `3 days 4 h`. */
export function sayShort(spanMs: number): string {
  const ms = Math.max(0, spanMs);
  if (ms < MINUTE) return TIME.shortSeconds(Math.floor(ms / 1000));
  if (ms < HOUR) return TIME.shortMinutes(Math.floor(ms / MINUTE));
  if (ms < 2 * DAY) {
    const minutes = Math.floor(ms / MINUTE);
    return TIME.shortHours(Math.floor(minutes / 60), String(minutes % 60).padStart(2, '0'));
  }
  const hours = Math.floor(ms / HOUR);
  return TIME.shortDays(Math.floor(hours / 24), hours % 24);
}

const QUARTERS = ['', '¼', '½', '¾'];

/**
 * A span told roughly, short enough for one line of a phone: `about 40 minutes`, `about 1½ hours`, `about 6 hours`. To
 * five minutes under an hour, quarter hours under three hours, whole hours under two days, then whole days.
 */
export function sayAbout(spanMs: number): string {
  return TIME.about(sayRough(spanMs));
}

/** The same without its 'about'. */
export function sayRough(spanMs: number): string {
  const minutes = Math.max(0, spanMs) / MINUTE;
  if (minutes < 1.5) return TIME.aMinute;
  if (minutes < 12.5) return TIME.roughMinutes(Math.round(minutes));
  if (minutes < 52.5) return TIME.roughMinutes(Math.round(minutes / 5) * 5);
  if (minutes < 172.5) {
    const quarters = Math.round(minutes / 15);
    return quarters === 4
      ? TIME.anHour
      : TIME.roughHours(`${Math.floor(quarters / 4)}${QUARTERS[quarters % 4] ?? ''}`);
  }
  if (minutes < 36 * 60) return TIME.roughHours(String(Math.round(minutes / 60)));
  const days = Math.round(minutes / (24 * 60));
  return days === 1 ? TIME.aDay : TIME.roughDays(days);
}

/** A stretch told roughly, from low to high: `10 to 40 minutes`, `up to 3 hours`; as one span where both round to the same. */
export function sayRange(lowMs: number, highMs: number): string {
  return sayStretch(lowMs, highMs) ?? sayAbout(highMs);
}

/** The same; null where both round to the same. */
export function sayStretch(lowMs: number, highMs: number): string | null {
  const [unitMs, unit, step] =
    highMs < 2 * HOUR
      ? ([MINUTE, 'minutes', 5] as const)
      : highMs < 2 * DAY
        ? ([HOUR, 'hours', 1] as const)
        : ([DAY, 'days', 1] as const);
  const low = Math.round(Math.max(0, lowMs) / unitMs / step) * step;
  const high = Math.round(Math.max(0, highMs) / unitMs / step) * step;
  if (low === high) return null;
  return low === 0 ? TIME.upTo(high, unit) : TIME.fromTo(low, high, unit);
}

/** Since light-up: `2:40 in`; from two days on `3 days 4 h in`. */
export function sayIn(sinceMs: number): string {
  const ms = Math.max(0, sinceMs);
  if (ms >= 2 * DAY) return TIME.daysIn(sayShort(ms));
  const minutes = Math.floor(ms / MINUTE);
  return TIME.in(`${Math.floor(minutes / 60)}:${String(minutes % 60).padStart(2, '0')}`);
}

const clocks = new Map<string, Intl.DateTimeFormat>();

function formatter(options: Intl.DateTimeFormatOptions, place: Place): Intl.DateTimeFormat {
  const key = JSON.stringify([options, place]);
  const known = clocks.get(key);
  if (known) return known;
  const timeZone = place.timeZone === undefined ? {} : { timeZone: place.timeZone };
  const made = new Intl.DateTimeFormat(place.locale ?? LOCALE, { ...options, ...timeZone });
  clocks.set(key, made);
  return made;
}

/** The time of day: `4:15 am`, or `16:15` where people say it so. */
export function sayClock(atMs: number, place: Place = {}): string {
  return formatter({ hour: 'numeric', minute: '2-digit' }, place)
    .format(atMs)
    .replace(/[\u202f\s]?([AP])\.?M\.?/i, (_, half: string) => `${NBSP}${half.toLowerCase()}m`);
}

/** The time of day, and the weekday where it is not that of `nowMs`: `Sat 4:15 am`. */
export function sayWhen(atMs: number, nowMs: number, place: Place = {}): string {
  const day = formatter({ year: 'numeric', month: 'numeric', day: 'numeric' }, place);
  if (day.format(atMs) === day.format(nowMs)) return sayClock(atMs, place);
  return `${formatter({ weekday: 'short' }, place).format(atMs)} ${sayClock(atMs, place)}`;
}

/** A date: `8 March 2031` or `March 8, 2031`. */
export function sayDate(atMs: number, place: Place = {}): string {
  return formatter({ dateStyle: 'long' }, place).format(atMs);
}

/** A weight of salt or wood, in pounds with °F and kilograms with °C: `12.3 lb`. */
export function sayWeight(kg: number, unit: TemperatureUnit): string {
  return `${sayDecimal(unit === 'F' ? poundsFromKg(kg) : kg, 1)}${NBSP}${unit === 'F' ? 'lb' : 'kg'}`;
}

/** Heat of wood: million Btu with °F, gigajoules with °C. 1 Btu (IT) is 1055.056 J (NIST SP 811). */
export function sayHeat(heatMJ: number, unit: TemperatureUnit): string {
  return unit === 'F'
    ? `${sayDecimal(heatMJ / 1055.056, 1)}${NBSP}${UNITS.millionBtu}`
    : `${sayDecimal(heatMJ / 1000, 1)}${NBSP}GJ`;
}

/** One charge of salt, in ounces with °F and grams with °C: `2.6 oz`. */
export function sayCharge(g: number, unit: TemperatureUnit): string {
  if (unit === 'C') return `${Math.round(g)}${NBSP}g`;
  const ounces = poundsFromKg(g / 1000) * OUNCES_A_POUND;
  return ounces < OUNCES_A_POUND
    ? `${sayDecimal(ounces, 1)}${NBSP}oz`
    : `${sayDecimal(ounces / OUNCES_A_POUND, 1)}${NBSP}lb`;
}

const BOTH_TEMPS = /(-?\d+) °F \((-?\d+) °C\)/g;
const BOTH_WEIGHTS = /([\d.]+ of [\d.]+) lb \(([\d.]+ of [\d.]+) kg\)/g;

/** The collector's words hold each figure in both units, `2204 °F (1207 °C)`: here in the one that the reader has chosen, and in the page's language. */
export function inOneUnit(text: string, unit: TemperatureUnit): string {
  return said(figuresIn(text, unit)).replace(/(\d) %/g, `$1${NBSP}%`);
}

/** The same of words that are in the page's language already. */
export function figuresIn(text: string, unit: TemperatureUnit): string {
  const one = (f: string, c: string) => (unit === 'F' ? f : c);
  return text
    .replace(
      BOTH_TEMPS,
      (_, f: string, c: string) => `${one(f, c).replace('-', MINUS)}${NBSP}${unitSign(unit)}`,
    )
    .replace(
      BOTH_WEIGHTS,
      (_, lb: string, kg: string) => `${one(lb, kg)}${NBSP}${unit === 'F' ? 'lb' : 'kg'}`,
    );
}

/** A place as the plan names it: the usual names in the page's language. */
export function sayPlace(place: string): string {
  const shown: Readonly<Record<string, string>> = PLAN.placeNames;
  return Object.hasOwn(shown, place) ? (shown[place] ?? place) : place;
}
