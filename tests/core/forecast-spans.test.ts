/** Spans of time ahead, beside each other. */
import { describe, expect, it } from 'vitest';
import { notSoonerThan } from '../../collector/core/forecast/spans.ts';
import type { Span } from '../../collector/core/inputs.ts';
import { newFiring } from '../../collector/core/state.ts';
import { feed, planOf } from '../support/kiln.ts';
import { climbing, hello, readings } from './two-probes.ts';

const span = (low: number, mid: number, high: number | null): Span => ({ low, mid, high });

describe('a cone beyond salting heat', () => {
  it.each([
    // The cone's own interval is wider: it began before that of salting heat.
    [span(11.4, 16, null), span(12.4, 14, null), span(12.4, 16, null)],
    [span(3, 5, 9), span(3.6, 4, 4.5), span(3.6, 5, 9)],
    [span(3, 5, 6), span(3.6, 4, 7), span(3.6, 5, 7)],
    [span(3, 5, 6), span(3.6, 4, null), span(3.6, 5, null)],
    // One that may fall before it is left as it is.
    [span(3, 4, 6), span(4, 5, 6), span(3, 4, 6)],
    // Salting heat is reached.
    [span(1, 2, 3), span(0, 0, 0), span(1, 2, 3)],
  ])('%o beside salting heat in %o: %o', (cone, salting, told) => {
    expect(notSoonerThan(cone, salting)).toEqual(told);
  });
});

describe('what the core foretells in a kiln that climbs', () => {
  const lastBy = (plan: Record<string, unknown>) => {
    const { outputs } = feed([hello(), ...readings(0, 4, climbing(700, 60))], newFiring(planOf(plan)));
    const last = outputs.findLast((output) => output.kind === 'forecast');
    return last?.kind === 'forecast' ? last.forecast : null;
  };

  // At 60 °C/h cone 6 goes down a little above the salting start of 1204.4 °C, and its own interval is the narrower one.
  it('is a firing cone no sooner than salting heat, at neither end', () => {
    const { toSaltingMs, forecasts } = lastBy({ firingCone: '6' }) ?? {};
    expect(forecasts?.cone?.mid).toBeGreaterThan(toSaltingMs?.mid ?? Number.NaN);
    expect(forecasts?.cone?.low).toBeGreaterThanOrEqual(toSaltingMs?.low ?? Number.NaN);
    expect(forecasts?.cone?.high).toBeGreaterThanOrEqual(toSaltingMs?.high ?? Number.NaN);
  });

  it('has the time that salting takes on the way to the firing cone, and not on the way to the cone that salting starts at', () => {
    const { toSaltingMs, forecasts } =
      lastBy({ firingCone: '6', saltingStartC: null, saltingStartCone: '6' }) ?? {};
    expect((forecasts?.cone?.mid ?? Number.NaN) / (toSaltingMs?.mid ?? Number.NaN)).toBeCloseTo(1.06, 4);
  });
});
