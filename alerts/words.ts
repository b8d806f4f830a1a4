/** Figures in words, both units, as an alert says them. */
import { fFromC, fPerHFromCPerH } from '../protocol/units.ts';

/** 1204.4 → `2200 °F (1204 °C)` */
export function heatInWords(tempC: number): string {
  return `${Math.round(fFromC(tempC))} °F (${Math.round(tempC)} °C)`;
}

/** A difference of temperatures: 11 → `20 °F (11 °C)` */
export function differenceInWords(differenceC: number): string {
  return `${Math.round(differenceC * 1.8)} °F (${Math.round(differenceC)} °C)`;
}

/** 34.4 → `62 °F (34 °C) an hour` */
export function climbInWords(climbCPerH: number): string {
  return `${Math.round(fPerHFromCPerH(climbCPerH))} °F (${Math.round(climbCPerH)} °C) an hour`;
}

/** Milliseconds to `40 seconds`, `12 minutes`, `1 h 30 min`, `2 days`. */
export function spanInWords(ms: number): string {
  const seconds = Math.round(ms / 1000);
  if (seconds < 90) return `${seconds} seconds`;
  const minutes = Math.round(seconds / 60);
  if (minutes < 90) return `${minutes} minutes`;
  const hours = Math.floor(minutes / 60);
  if (hours < 48) return minutes % 60 === 0 ? `${hours} h` : `${hours} h ${minutes % 60} min`;
  return `${Math.round(hours / 24)} days`;
}
