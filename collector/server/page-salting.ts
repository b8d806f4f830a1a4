/** The salt as it goes to the page: grams and tenths of a degree, for a weak radio link. */
import type { SaltingFigures } from '../core/inputs.ts';

const toGram = (kg: number) => Math.round(kg * 1000) / 1000;
const toTenth = (tempC: number) => Math.round(tempC * 10) / 10;

export function pageSalting({ at, count, heat, say }: SaltingFigures): SaltingFigures {
  const { byHoleKg, draws, paceKgPerH } = count;
  return {
    at,
    count: {
      ...count,
      inKg: toGram(count.inKg),
      toGoKg: toGram(count.toGoKg),
      byHoleKg: { left: toGram(byHoleKg.left), right: toGram(byHoleKg.right) },
      paceKgPerH: paceKgPerH === null ? null : toGram(paceKgPerH),
      plannedKgPerH: toGram(count.plannedKgPerH),
      draws: { ...draws, nextAtKg: draws.nextAtKg === null ? null : toGram(draws.nextAtKg) },
      hclAtMostKg: toGram(count.hclAtMostKg),
    },
    heat: heat && {
      beganAt: heat.beganAt,
      peakC: toTenth(heat.peakC),
      lowC: toTenth(heat.lowC),
      nowC: toTenth(heat.nowC),
      shortC: toTenth(heat.shortC),
    },
    say,
  };
}
