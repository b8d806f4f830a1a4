/**
 * Pyrometric cones by name and on one scale: 022 … 01 are -22 … -1, 1 … 14 themselves, and a tenth is a tenth of the
 * way to the next (05.5 is -5.5). From 01 to 1 is one step, so values from -1 up to 0 lie between the two.
 */

/** The cones of the chart, from the softest up. */
export const CONE_NAMES = [
  ...['022', '021', '020', '019', '018', '017', '016', '015', '014', '013', '012', '011', '010'],
  ...['09', '08', '07', '06', '05.5', '05', '04', '03', '02', '01'],
  ...['1', '2', '3', '4', '5', '5.5', '6', '7', '8', '9', '10', '11', '12', '13', '14'],
] as const;
export type ConeName = (typeof CONE_NAMES)[number];

const LOWEST = -22;
const HIGHEST = 14;
const CONE = /^(?:cone )?(0?)([1-9]\d?(?:\.\d)?)$/;

/** Sums such as 8 + 0.3 miss a tenth by some 1e-15; so little less than a tenth is that tenth. */
const TENTH_SLACK = 1e-9;

/**
 * `06`, `8.4`, `05.7`, or with the word before it as CSV has it (`cone 06`), to the scale. Null if it is not a cone
 * from 022 to 14 in whole cones or tenths.
 */
export function parseCone(text: string): number | null {
  const match = CONE.exec(text.trim());
  if (!match) return null;
  const size = Number(match[2]);
  const value = match[1] === '0' ? -size : size;
  return value >= LOWEST && value <= HIGHEST ? value : null;
}

/**
 * A value of the scale as potters write it, to a tenth toward zero: -5.7 is `05.7`, -6 `06`, -10.34 `010.3`. Between
 * 01 and 1 it is `01`, above 14 `14`; null below 022, for null, and for what is not a number.
 */
export function formatCone(value: number | null): string | null {
  if (value === null || !(value >= LOWEST)) return null;
  if (value >= HIGHEST) return '14';
  if (value > -1 && value < 1) return '01';
  const tenths = Math.floor(Math.abs(value) * 10 + TENTH_SLACK);
  const size = tenths % 10 === 0 ? `${tenths / 10}` : `${Math.floor(tenths / 10)}.${tenths % 10}`;
  return value < 0 ? `0${size}` : size;
}
