/**
 * The text of one cell of the archive's CSV files, both ways. Reading answers `undefined` for text that is no such
 * value, so that a row edited by hand can be told from a missing figure (an empty cell, null).
 */

/** Text that a spreadsheet would run as a formula (OWASP, 'CSV injection': = + - @ tab CR LF, and their full-width forms). */
const FORMULA = /^[=+\-@\t\r\n＝＋－＠]/;
const GUARDED = /^'['=+\-@\t\r\n＝＋－＠]/;

/** Free text to a cell: an apostrophe goes before text that begins as a formula does, or with an apostrophe. */
export function guardText(text: string): string {
  return FORMULA.test(text) || text.startsWith("'") ? `'${text}` : text;
}

/** A cell to the free text that `guardText` was given. */
export function unguardText(cell: string): string {
  return GUARDED.test(cell) ? cell.slice(1) : cell;
}

/** A number with a fixed count of decimals, for figures that people read; null and what is not finite are empty. */
export function fixedCell(value: number | null, decimals: number): string {
  if (value === null || !Number.isFinite(value)) return '';
  const text = value.toFixed(decimals);
  return Number(text) === 0 && text.startsWith('-') ? text.slice(1) : text;
}

/** A number that reads back as exactly the same one (ECMA-262 Number::toString; a negative zero keeps its sign). */
export function exactCell(value: number | null): string {
  if (value === null || !Number.isFinite(value)) return '';
  return Object.is(value, -0) ? '-0' : String(value);
}

const NUMBER = /^-?\d+(?:\.\d+)?(?:e[+-]?\d+)?$/;

export function numberFromCell(cell: string): number | null | undefined {
  if (cell === '') return null;
  return NUMBER.test(cell) ? Number(cell) : undefined;
}

const COUNT = /^\d{1,15}$/;

/** A whole number from 0 that a double holds exactly. */
export function countFromCell(cell: string): number | undefined {
  return COUNT.test(cell) ? Number(cell) : undefined;
}

const CONE = /^cone (0?\d{1,2}(?:\.\d)?)$/;

/** `06` is written `cone 06`, so that no spreadsheet makes 6 of it. */
export function coneCell(cone: string | null): string {
  return cone === null ? '' : `cone ${cone}`;
}

export function coneFromCell(cell: string): string | null | undefined {
  return cell === '' ? null : CONE.exec(cell)?.[1];
}
