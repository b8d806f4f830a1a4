/** Which way the kiln goes and how far it has to go, in words: what the sentence, the alerts and the facts share. */
import { fPerHFromCPerH, type TemperatureUnit } from '../protocol/units.ts';
import type { Firing } from './firing.ts';
import { sayAbout, unitSign, wayOf } from './say.ts';
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
  if (!forecast?.toSaltingMs) return null;
  const { low, mid, high } = forecast.toSaltingMs;
  const left = (ms: number) => Math.max(0, forecast.at + ms - now);
  return { midMs: left(mid), lowMs: left(low), highMs: high === null ? null : left(high) };
}

const DAY_MS = 24 * 3_600_000;

/** A forecast so loose that its middle would only mislead: it says no more than 'not sooner than'. */
export function isLoose({ midMs, highMs }: Ahead): boolean {
  return highMs === null ? midMs > DAY_MS / 4 : midMs > DAY_MS;
}

/** How long it takes at the least, for a loose forecast: `6 hours`. */
export function notBefore({ lowMs }: Ahead): string {
  return sayAbout(lowMs).replace(/^about /, '');
}
