/** Which paper the sheet is for, and where it is found. */
import type { TemperatureUnit } from '../../protocol/units.ts';

export type Paper = 'a4' | 'letter';

/** Where people reckon in °F they mostly print on Letter. */
export function paperOf(asked: string | undefined, unit: TemperatureUnit): Paper {
  if (asked === 'a4' || asked === 'letter') return asked;
  return unit === 'F' ? 'letter' : 'a4';
}

/** The unit that an address asks for, else the reader's own. */
export function unitOf(asked: string | undefined, own: TemperatureUnit): TemperatureUnit {
  return asked === 'f' ? 'F' : asked === 'c' ? 'C' : own;
}

/** `#/past/ID/sheet/a4/c`. */
export function sheetAddress(id: string, paper: Paper, unit: TemperatureUnit): string {
  return `#/past/${encodeURIComponent(id)}/sheet/${paper}/${unit.toLowerCase()}`;
}
