/** Units at the border. Inside, everything is °C, °C/h, kilograms, grams and milliseconds. */

/** Spans of time, in milliseconds. */
export const SECOND_MS = 1000;
export const MINUTE_MS = 60_000;
export const HOUR_MS = 3_600_000;

/** °C to °F. */
export function fFromC(tempC: number): number {
  return tempC * 1.8 + 32;
}

/** °F to °C. */
export function cFromF(tempF: number): number {
  return (tempF - 32) / 1.8;
}

/** A difference of temperatures: °C to °F. */
export function differenceFFromC(differenceC: number): number {
  return differenceC * 1.8;
}

/** A rate: °C/h to °F/h. */
export function fPerHFromCPerH(climbCPerH: number): number {
  return differenceFFromC(climbCPerH);
}

/** Kilograms to pounds avoirdupois (exactly 0.45359237 kg, NIST Handbook 44). */
export function poundsFromKg(kg: number): number {
  return kg / 0.45359237;
}

export type TemperatureUnit = 'C' | 'F';
