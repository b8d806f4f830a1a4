/** A forecast as it goes to the page: whole seconds and tenths of a degree, for a weak radio link. */
import type { Fan, Forecast, Span } from '../core/inputs.ts';

const SECOND_MS = 1000;

export function pageForecast({ at, toSaltingMs, forecasts, fan }: Forecast): Forecast {
  const { cone, nextStage, below400F, unbrick } = forecasts;
  return {
    at,
    toSaltingMs: shortSpan(toSaltingMs),
    forecasts: {
      cone: shortSpan(cone),
      nextStage: shortSpan(nextStage),
      below400F: shortSpan(below400F),
      unbrick: shortSpan(unbrick),
    },
    fan: fan && shortFan(fan),
  };
}

function toSecond(ms: number): number {
  return Math.round(ms / SECOND_MS) * SECOND_MS;
}

function shortSpan<Of extends Span>(span: Of | null): Of | null {
  if (span === null) return null;
  const { low, mid, high } = span;
  return { ...span, low: toSecond(low), mid: toSecond(mid), high: high === null ? null : toSecond(high) };
}

function shortFan({ at, aheadMs, lowC, midC, highC }: Fan): Fan {
  const tenths = (values: number[]) => values.map((tempC) => Math.round(tempC * 10) / 10);
  return { at, aheadMs: aheadMs.map(toSecond), lowC: tenths(lowC), midC: tenths(midC), highC: tenths(highC) };
}
