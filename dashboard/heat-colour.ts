/** The core's heat colours as steps of the page's glow scale (`--glow-1` the coolest … `--glow-8` the hottest). */
import { HEAT_COLOURS } from '../collector/core/heat-work/incandescence.ts';
import { GLOW_WORDS } from './words.ts';

interface Glow {
  fromC: number;
  /** null: no upper end. */
  toC: number | null;
  step: number;
}

/** Coolest first. */
export const GLOWS: readonly Glow[] = [...HEAT_COLOURS].reverse().map(({ fromC }, index, all) => ({
  fromC,
  toC: all[index + 1]?.fromC ?? null,
  step: index + 1,
}));

/** What shows through the spyhole at a temperature (°C): its words and its step; null where nothing glows. */
export function glowAt(tempC: number): { words: string; step: number } | null {
  const glow = GLOWS.findLast(({ fromC }) => tempC >= fromC);
  const words = glow && GLOW_WORDS[glow.step - 1];
  return glow === undefined || words === undefined ? null : { words, step: glow.step };
}
