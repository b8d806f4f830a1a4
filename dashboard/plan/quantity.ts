/** Figures of the plan as a person types them, in the units of the page, and back. */
import { cFromF, fFromC, fPerHFromCPerH, poundsFromKg, type TemperatureUnit } from '../../protocol/units.ts';
import { sayDecimal } from '../say.ts';
import { TIME, UNITS } from '../words.ts';

export type Quantity = 'heat' | 'rate' | 'mass' | 'charge' | 'minutes' | 'percent' | 'length' | 'bare';

const OUNCES_A_POUND = 16;
/** An inch is 2.54 cm exactly (NIST Handbook 44). */
const CM_AN_INCH = 2.54;
const G_A_KG = 1000;

const WORDS: Record<Quantity, Record<TemperatureUnit, string>> = {
  heat: { F: '°F', C: '°C' },
  rate: { F: TIME.perHour('°F'), C: TIME.perHour('°C') },
  mass: { F: 'lb', C: 'kg' },
  charge: { F: 'oz', C: 'g' },
  minutes: { F: UNITS.minutes, C: UNITS.minutes },
  percent: { F: '%', C: '%' },
  length: { F: 'in', C: 'cm' },
  bare: { F: '', C: '' },
};

/** The unit's words; empty for a bare number. */
export function unitOf(quantity: Quantity, unit: TemperatureUnit): string {
  return WORDS[quantity][unit];
}

/** What one of the inside's unit is in the page's, for what has no offset. */
function factorOf(quantity: Quantity, unit: TemperatureUnit): number {
  if (quantity === 'length') return unit === 'C' ? CM_AN_INCH : 1;
  if (unit === 'C') return 1;
  if (quantity === 'rate') return fPerHFromCPerH(1);
  if (quantity === 'mass') return poundsFromKg(1);
  return quantity === 'charge' ? poundsFromKg(1 / G_A_KG) * OUNCES_A_POUND : 1;
}

/** Digits behind the point that are worth showing. */
const DIGITS: Record<Quantity, number> = {
  heat: 0,
  rate: 0,
  mass: 1,
  charge: 1,
  minutes: 0,
  percent: 0,
  length: 0,
  bare: 2,
};

/** An inside figure (°C, °C/h, kg, g, minutes, inches) as it is typed. */
export function shownFigure(value: number, quantity: Quantity, unit: TemperatureUnit): string {
  const shown = quantity === 'heat' && unit === 'F' ? fFromC(value) : value * factorOf(quantity, unit);
  return sayDecimal(Number(shown.toFixed(DIGITS[quantity])));
}

/** What was typed, inside; null if it is no number. A comma may stand for the point. */
export function insideFigure(text: string, quantity: Quantity, unit: TemperatureUnit): number | null {
  const typed = text.trim().replace(',', '.');
  if (!/^[-\u2212]?\d+(\.\d*)?$/.test(typed)) return null;
  const value = Number(typed.replace('\u2212', '-'));
  return quantity === 'heat' && unit === 'F' ? cFromF(value) : value / factorOf(quantity, unit);
}
