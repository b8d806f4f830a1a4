/**
 * The colour of a hot body, as a check by eye against a couple that lies. 'Colour scale for temperatures' as printed in
 * refractory makers' handbooks (read from firebrick.co.in, furnace temperatures).
 */

interface HeatColour {
  fromC: number;
  words: string;
}

/** Hottest first; each reaches up to the one before it. */
export const HEAT_COLOURS: readonly HeatColour[] = [
  { fromC: 1540, words: 'white to dazzling white' },
  { fromC: 1315, words: 'light yellow to white' },
  { fromC: 1090, words: 'yellow to light yellow' },
  { fromC: 900, words: 'orange to yellow' },
  { fromC: 815, words: 'bright cherry red to orange' },
  { fromC: 750, words: 'cherry red to bright cherry red' },
  { fromC: 650, words: 'dark red to cherry red' },
  { fromC: 475, words: 'lowest visible red to dark red' },
];

/** What the inside of a kiln at `tempC` looks like, in words; null below 475 °C, where nothing glows. */
export function heatColour(tempC: number): string | null {
  return HEAT_COLOURS.find(({ fromC }) => tempC >= fromC)?.words ?? null;
}
