/**
 * Lines of a plain board, which only prints numbers: parted by commas, tabs, spaces or semicolons, with or without words
 * around them. Nothing protects such a line, so the rules are narrow, and what is not plainly a value is a word:
 *
 * - a value stands by itself (`23.5`) or behind a label that ends in `=` or `:` (`T1=23.5`, `"low":23.5`);
 * - digits that are part of a word are none: `T1`, `MAX31855`, `2nd`, `12:34:56`, `12:34`, `3-4`, `v1.2`, `45%`;
 * - behind a value may stand a sign of the degree and C or F (`23.5C`, `23.5°F`, `23.5 degC`). They are not read: the
 *   plan says which unit the board prints;
 * - the decimal sign is a point: `23,5` is two values;
 * - `nan`, `inf` and `ovf`, which boards print where a couple gave nothing, stand for a value that was not measured;
 * - a line that holds `$` or `*` is never plain.
 */

const PARTED_BY = /[,;\s]+/;
const FRAME = /[$*]/;
/** A label that is not digits alone, then the value in quotes or brackets or bare, then the unit. */
const VALUE =
  /^(?:[=:]|(?=[^=:]*[^\d=:])[^=:]*[=:])?["'([{]*([-+]?\d{1,7}(?:\.\d{0,9})?)[\u0080-\uffff]*(?:(?:deg)?[CFcf])?["')\]}.]*$/;
const NOT_MEASURED = /^(?:[^=:]*[=:])?(?:[nN][aA][nN]|[-+]?(?:inf|ovf))["'}]*$/;

/** The values of a plain line in order, null where one was not measured; null instead if it holds no value at all. */
export function parsePlainLine(text: string): (number | null)[] | null {
  if (FRAME.test(text)) return null;
  const values: (number | null)[] = [];
  for (const token of text.split(PARTED_BY)) {
    const value = VALUE.exec(token)?.[1];
    if (value !== undefined) values.push(Number(value) + 0);
    else if (NOT_MEASURED.test(token)) values.push(null);
  }
  return values.length > 0 ? values : null;
}
