/** Which way the kiln goes and how far it has to go, in words: what the sentence, the alerts and the facts share. */
import { fPerHFromCPerH, type TemperatureUnit } from '../protocol/units.ts';
import type { Firing } from './firing.ts';
import { type Place, sayAbout, sayRange, sayRough, sayWhen, unitSign, wayOf } from './say.ts';
import { SAY } from './words.ts';

/** A climb's figure without its sign: `62 °F`, to be followed by 'an hour'. */
export function rateWords(climbCPerH: number, unit: TemperatureUnit): string {
  const rate = Math.abs(Math.round(unit === 'F' ? fPerHFromCPerH(climbCPerH) : climbCPerH));
  return `${rate}\u00a0${unitSign(unit)}`;
}

/** `Climbing 62 °F an hour.`, or what else it does. */
export function goes(climbCPerH: number | null, unit: TemperatureUnit): string {
  if (climbCPerH === null) return SAY.climbUnknown;
  const way = wayOf(climbCPerH);
  if (way === 'still') return SAY.still;
  return way === 'up' ? SAY.climbing(rateWords(climbCPerH, unit)) : SAY.falling(rateWords(climbCPerH, unit));
}

/** Time still to go, ms from now, with its range; `highMs` null where it may be for ever. */
export interface Ahead {
  midMs: number;
  lowMs: number;
  highMs: number | null;
}

/** Time still to go to salting heat; `reached` once there; null where it cannot be told. */
export function toSalting(firing: Firing, now: number): Ahead | 'reached' | null {
  const { kiln, plan, forecast } = firing;
  if (plan.saltingStartCone === null && plan.saltingStartC !== null && kiln.smoothC !== null)
    if (kiln.smoothC >= plan.saltingStartC) return 'reached';
  return forecast && aheadOf(forecast, forecast.toSaltingMs, now);
}

type Forecast = NonNullable<Firing['forecast']>;
type Forecasts = NonNullable<Forecast['forecasts']>;

/** Time still to go of a span that a forecast gives; null where it gives none. */
function aheadOf(forecast: Forecast, span: Forecast['toSaltingMs'], now: number): Ahead | null {
  if (!span) return null;
  const left = (ms: number) => Math.max(0, forecast.at + ms - now);
  return {
    midMs: left(span.mid),
    lowMs: left(span.low),
    highMs: span.high === null ? null : left(span.high),
  };
}

/** Time still to go to something that is ahead; null where it cannot be told. */
export function aheadTo(firing: Firing, what: keyof Forecasts, now: number): Ahead | null {
  const { forecast } = firing;
  return forecast && aheadOf(forecast, forecast.forecasts?.[what] ?? null, now);
}

/** `in about 2 hours (1 to 4 hours)`, or `in over 6 hours` where more would mislead. */
export function inAbout(ahead: Ahead): string {
  if (isLoose(ahead) && ahead.highMs === null) return SAY.inOver(notBefore(ahead));
  const range = ahead.highMs === null ? null : sayRange(ahead.lowMs, ahead.highMs);
  return SAY.inAbout(sayAbout(ahead.midMs), range);
}

const HOUR_MS = 3_600_000;

/** `May be unbricked in about 31 hours, Sun 4:00 am (27 to 36 hours).` No time of day where the interval is a day wide. */
export function unbrickWords(ahead: Ahead, now: number, place: Place = {}): string {
  const { midMs, lowMs, highMs } = ahead;
  if (highMs === null) return SAY.unbrickIn(sayAbout(midMs), null, null);
  const toHour = Math.round((now + midMs) / HOUR_MS) * HOUR_MS;
  const when =
    highMs - lowMs < DAY_MS ? sayWhen(midMs < 6 * HOUR_MS ? now + midMs : toHour, now, place) : null;
  return SAY.unbrickIn(sayAbout(midMs), when, sayRange(lowMs, highMs));
}

const DAY_MS = 24 * 3_600_000;

/** A forecast so loose that its middle would only mislead: it says no more than 'not sooner than'. */
export function isLoose({ midMs, highMs }: Ahead): boolean {
  return highMs === null ? midMs > DAY_MS / 4 : midMs > DAY_MS;
}

/** How long it takes at the least, for a loose forecast: `6 hours`. */
export function notBefore({ lowMs }: Ahead): string {
  return sayRough(lowMs);
}
