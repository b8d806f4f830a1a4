/**
 * The colour of a hot body by temperature. Source: 'colour scale for temperatures' as printed in refractory makers'
 * handbooks (read from firebrick.co.in, furnace temperatures). The words between two names mean that it turns from
 * the one to the other in that range.
 */
interface ColourRange {
  fromC: number;
  /** null: no upper end. */
  toC: number | null;
  words: string;
  /** The step of the page's own glow scale that is painted beside the words (`--glow-1` …). */
  glow: number;
}

export const HEAT_COLOURS: readonly ColourRange[] = [
  { fromC: 475, toC: 650, words: 'lowest visible red, turning dark red', glow: 1 },
  { fromC: 650, toC: 750, words: 'dark red, turning cherry red', glow: 2 },
  { fromC: 750, toC: 815, words: 'cherry red, turning bright cherry red', glow: 3 },
  { fromC: 815, toC: 900, words: 'bright cherry red, turning orange', glow: 4 },
  { fromC: 900, toC: 1090, words: 'orange, turning yellow', glow: 5 },
  { fromC: 1090, toC: 1315, words: 'yellow, turning light yellow', glow: 6 },
  { fromC: 1315, toC: 1540, words: 'light yellow, turning white', glow: 7 },
  { fromC: 1540, toC: null, words: 'white, turning dazzling white', glow: 8 },
];

/** The range that a temperature (°C) falls in; null below 475 °C, where nothing glows. */
export function heatColour(tempC: number): ColourRange | null {
  return HEAT_COLOURS.findLast((range) => tempC >= range.fromC) ?? null;
}
