/** Units at the border. Inside, everything is °C, °C/h, kilograms, grams and milliseconds. */

/** °C to °F. */
export function fFromC(tempC: number): number {
  return tempC * 1.8 + 32;
}

/** °F to °C. */
export function cFromF(tempF: number): number {
  return (tempF - 32) / 1.8;
}

/** A difference or a rate: °C/h to °F/h. */
export function fPerHFromCPerH(climbCPerH: number): number {
  return climbCPerH * 1.8;
}

/** Kilograms to pounds avoirdupois (exactly 0.45359237 kg, NIST Handbook 44). */
export function poundsFromKg(kg: number): number {
  return kg / 0.45359237;
}

export type TemperatureUnit = 'C' | 'F';
