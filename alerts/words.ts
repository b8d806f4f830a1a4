/** Figures in words, both units, as an alert says them, and what is so when an alert has no more to say. */
import type { Stage } from '../protocol/stages.ts';
import { differenceFFromC, fFromC, fPerHFromCPerH, poundsFromKg } from '../protocol/units.ts';

/** 1204.4 → `2200 °F (1204 °C)` */
export function heatInWords(tempC: number): string {
  return `${Math.round(fFromC(tempC))} °F (${Math.round(tempC)} °C)`;
}

/** A difference of temperatures: 11 → `20 °F (11 °C)` */
export function differenceInWords(differenceC: number): string {
  return `${Math.round(differenceFFromC(differenceC))} °F (${Math.round(differenceC)} °C)`;
}

/** A rate without its sign: 34.4 → `62 °F (34 °C) an hour` */
export function rateInWords(climbCPerH: number): string {
  const rate = Math.abs(climbCPerH);
  return `${Math.round(fPerHFromCPerH(rate))} °F (${Math.round(rate)} °C) an hour`;
}

/** -34.4 → `down 62 °F (34 °C) an hour` */
export function climbInWords(climbCPerH: number): string {
  return `${climbCPerH < 0 ? 'down' : 'up'} ${rateInWords(climbCPerH)}`;
}

/** 5.7 of 22.7 → `12.6 of 50 lb (5.7 of 22.7 kg)` */
export function saltInWords(inKg: number, ofKg: number): string {
  const tenth = (value: number) => Math.round(value * 10) / 10;
  return `${tenth(poundsFromKg(inKg))} of ${tenth(poundsFromKg(ofKg))} lb (${tenth(inKg)} of ${tenth(ofKg)} kg)`;
}

const count = (size: number, unit: string) => `${size} ${unit}${size === 1 ? '' : 's'}`;

/** Milliseconds to `40 seconds`, `12 minutes`, `1 h 30 min`, `2 days`. */
export function spanInWords(ms: number): string {
  const seconds = Math.round(ms / 1000);
  if (seconds < 90) return count(seconds, 'second');
  const minutes = Math.round(seconds / 60);
  if (minutes < 90) return count(minutes, 'minute');
  const hours = Math.floor(minutes / 60);
  if (hours < 48) return minutes % 60 === 0 ? `${hours} h` : `${hours} h ${minutes % 60} min`;
  return count(Math.round(hours / 24), 'day');
}

const STAGE_NOW: Record<Stage, string> = {
  before: 'The kiln is not lit.',
  candling: 'Candling now.',
  climbing: 'Climbing now.',
  hold: 'Holding now.',
  salting: 'Salting now.',
  soak: 'Soaking now.',
  cooling: 'The kiln is closed and cools.',
  open: 'The kiln is open.',
};

/** Why an alert has nothing more to say in this stage, or with no couple left in the kiln. */
export function nowInWords({ stage, noCoupleLeft }: { stage: Stage; noCoupleLeft: boolean }): string {
  return noCoupleLeft ? 'No couple in the kiln: go by cones and draws.' : STAGE_NOW[stage];
}
