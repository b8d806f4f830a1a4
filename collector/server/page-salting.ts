/** The salt as it goes to the page: grams and tenths of a degree, for a weak radio link. */
import type { SaltingFigures } from '../core/inputs.ts';
import type { LotHeat } from '../core/salting-facts.ts';

const toGram = (kg: number) => Math.round(kg * 1000) / 1000;
const toTenth = (tempC: number) => Math.round(tempC * 10) / 10;

const shortLot = ({ beganAt, peakC, lowC, nowC, shortC }: LotHeat): LotHeat => ({
  beganAt,
  peakC: toTenth(peakC),
  lowC: toTenth(lowC),
  nowC: toTenth(nowC),
  shortC: toTenth(shortC),
});

export function pageSalting({ at, count, heat, earlier, say }: SaltingFigures): SaltingFigures {
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
    heat: heat && shortLot(heat),
    earlier: earlier.map(shortLot),
    say,
  };
}
