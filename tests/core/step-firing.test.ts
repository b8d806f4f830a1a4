/** Whole firings, with nothing and with everything logged. */
import { describe, expect, it } from 'vitest';
import type { CoreInput } from '../../collector/core/inputs.ts';
import { newFiring } from '../../collector/core/state.ts';
import {
  alertsIn,
  feed,
  helloOf,
  inputOf,
  MINUTE_MS,
  planOf,
  readingsIn,
  START_MS,
  stagesIn,
  toldBesideStokes,
  toldIn,
} from '../support/kiln.ts';
import { atH, HIGH, LOW, readings, ripple, rounded } from './two-probes.ts';

describe('a firing from beginning to end', () => {
  /** A day and a half: candling, climbing, salting heat, cooling. */
  const heat = (hours: number): number => {
    if (hours < 6) return 15 + 22 * hours;
    if (hours < 20) return 147 + 75 * (hours - 6);
    if (hours < 22) return 1197 + 20 * (hours - 20);
    return Math.max(40, 1237 * Math.exp(-(hours - 22) / 9));
  };
  const values = (hours: number) => {
    const tempC = heat(hours) + (hours > 6 && hours < 22 ? ripple(hours) : 0);
    return { low: rounded(tempC - 3), high: rounded(tempC + 3) };
  };
  const all = readings(0, 40, values, 30_000);
  const begin = inputOf.hello(START_MS, helloOf([LOW, HIGH], 30_000));

  it('nobody logs anything', () => {
    const { outputs } = feed([begin, ...all]);
    expect(stagesIn(outputs)).toEqual(['candling', 'climbing', 'cooling']);
    const names = toldBesideStokes(outputs).map((told) => told.replace(/^\S+ /, ''));
    expect(names).toContain('salting-soon raised');
    expect(names.indexOf('salting-window raised')).toBeGreaterThan(names.indexOf('salting-soon raised'));
    expect(names).toContain('ready-to-unbrick raised');
    // Before the top all is well.
    expect(names.indexOf('salting-soon raised')).toBe(0);
    const window = alertsIn(outputs).find(({ name }) => name === 'salting-window');
    // 1204.4 °C is reached at 20.37 h; the window opens 2 min later.
    expect(Math.abs((Number(window?.at) - START_MS) / MINUTE_MS - 20.37 * 60 - 2)).toBeLessThan(12);
  });

  it('everything is logged', () => {
    const entries: CoreInput[] = [
      inputOf.log(atH(0.2) + 1, { log: 'light-up', id: 'l' }),
      ...Array.from({ length: 24 }, (_, i) =>
        inputOf.log(atH(20.5 + i / 24) + 1, {
          log: 'salt',
          hole: i % 2 === 0 ? 'left' : 'right',
          g: 950,
          id: `s${i}`,
        }),
      ),
      inputOf.log(atH(21.6) + 1, { log: 'end-salt', id: 'e' }),
      inputOf.log(atH(22) + 1, { log: 'clam-up', id: 'c' }),
      inputOf.log(atH(39.9) + 1, { log: 'unbricked', id: 'u' }),
    ];
    const inputs = [begin, ...[...all, ...entries].sort((a, b) => a.at - b.at)];
    const { outputs } = feed(inputs);
    expect(stagesIn(outputs)).toEqual(['candling', 'climbing', 'salting', 'soak', 'cooling', 'open']);
    const told = toldIn(outputs).map((each) => each.replace(/^\S+ /, ''));
    expect(told.filter((each) => each.startsWith('draw-due'))).toEqual([
      'draw-due raised',
      'draw-due cleared',
    ]);
    expect(told).not.toContain('stall raised');
    const cleared = alertsIn(outputs).find(
      ({ name, state }) => name === 'salting-window' && state === 'cleared',
    );
    expect(cleared?.text).toBe('Enough salt is in.');
  });

  it('gives a notice ahead of the cone where the plan starts salting by a cone', () => {
    const plan = newFiring(planOf({ saltingStartC: null, saltingStartCone: '8' }));
    const { outputs } = feed([begin, ...all.slice(0, 22 * 120)], plan);
    const soon = alertsIn(outputs).find(({ name }) => name === 'salting-soon');
    const window = alertsIn(outputs).find(({ name }) => name === 'salting-window');
    const ahead = (Number(window?.at) - Number(soon?.at)) / MINUTE_MS;
    expect(ahead).toBeGreaterThan(15);
    expect(ahead).toBeLessThan(50);
    const opened = readingsIn(outputs).find(({ input }) => input.at >= Number(window?.at));
    const [low, high] = (opened?.rows ?? []).map(({ cone }) => Number(cone));
    const meanCone = (Number(low) + Number(high)) / 2;
    // Printed to a tenth toward zero, and the window opens 2 min after the cone is reached.
    expect(meanCone).toBeGreaterThan(7.9);
    expect(meanCone).toBeLessThan(8.2);
  });
});
