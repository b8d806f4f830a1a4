/** What the forecasts are worth: each asked for some time ahead of what truly came. */

import { addHeat, coneValue, newHeatWork } from '../../collector/core/heat-work/heat-work.ts';
import type { Forecast, Span } from '../../collector/core/inputs.ts';
import { ZONES, type Zone } from '../../collector/demo-kiln/chamber.ts';
import { parseCone } from '../../protocol/cones.ts';
import { FIRING_CONE } from './recipe.ts';
import type { Run } from './run.ts';

export type Foretold = 'salting heat' | 'firing cone' | 'unbricking';

/** How far ahead each is asked for, minutes. */
export const HORIZONS_MIN: Record<Foretold, readonly number[]> = {
  'salting heat': [180, 60, 20],
  'firing cone': [180, 60, 20],
  unbricking: [2880, 1440, 720, 180, 60, 20],
};

export interface ForecastMark {
  what: Foretold;
  horizonMin: number;
  /** Forecast less truth, minutes; null where none was given. */
  errorMin: number | null;
  /** Whether the truth lay within the interval; null where there was none. */
  covered: boolean | null;
  /** From the interval's lower end to its upper, minutes; null where there is none. */
  widthMin: number | null;
}

const SPAN_OF: Record<Foretold, (forecast: Forecast) => Span | null> = {
  'salting heat': ({ toSaltingMs }) => toSaltingMs,
  'firing cone': ({ forecasts }) => forecasts.cone,
  unbricking: ({ forecasts }) => forecasts.unbrick,
};

/** `crossing`: when salting heat was truly crossed, minutes since the start, or null. */
export function forecastMarks(run: Run, crossing: number | null): ForecastMark[] {
  const coolS = run.closed?.coolS ?? null;
  return [
    ...marksOf(run, 'salting heat', crossing, run.forecasts),
    ...marksOf(run, 'firing cone', trueConeMin(run), run.forecasts),
    ...marksOf(run, 'unbricking', coolS === null ? null : coolS / 60, run.closed?.forecasts ?? []),
  ];
}

function marksOf(
  run: Run,
  what: Foretold,
  trueMin: number | null,
  forecasts: readonly Forecast[],
): ForecastMark[] {
  if (trueMin === null) return [];
  const trueMs = run.startMs + trueMin * 60_000;
  return HORIZONS_MIN[what].map((horizonMin) => {
    const last = forecasts.findLast(({ at }) => at <= trueMs - horizonMin * 60_000);
    const span = last ? SPAN_OF[what](last) : null;
    if (!last || !span) return { what, horizonMin, errorMin: null, covered: null, widthMin: null };
    const leftMs = trueMs - last.at;
    return {
      what,
      horizonMin,
      errorMin: (span.mid - leftMs) / 60_000,
      covered: span.low <= leftMs && leftMs <= (span.high ?? Number.POSITIVE_INFINITY),
      widthMin: span.high === null ? null : (span.high - span.low) / 60_000,
    };
  });
}

/** When the mean of the cones of the places with a probe was at the firing cone, minutes since the start; or null. */
function trueConeMin({ recipe, trueMinutes }: Run): number | null {
  const wanted = parseCone(FIRING_CONE) ?? Number.NaN;
  const zones = ZONES.filter((zone) => recipe.board.probes.some((probe) => probe.zone === zone));
  const heats = zones.map((zone) => ({ zone, heat: newHeatWork() }));
  let before: Record<Zone, number> | null = null;
  for (const [minute, { placeC }] of trueMinutes.entries()) {
    for (const { zone, heat } of heats) if (before) addHeat(heat, before[zone], placeC[zone], 60_000);
    before = placeC;
    const cones = heats.map(({ heat }) => coneValue(heat) ?? Number.NEGATIVE_INFINITY);
    if (cones.reduce((sum, cone) => sum + cone, 0) / cones.length >= wanted) return minute + 0.5;
  }
  return null;
}
