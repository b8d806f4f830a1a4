/** Turning points of the quick signal: a stoke is a dip and a rise. */
import { describe, expect, it } from 'vitest';
import { followTurns, newTurns, restartTurns, type Turns } from '../../collector/core/turns.ts';
import { MINUTE_MS, SECOND_MS, START_MS } from '../support/kiln.ts';

interface Turn {
  what: 'low' | 'high';
  /** When it was noticed, and when it was, in minutes. */
  noticed: number;
  was: number;
}

function follow(
  minutes: number,
  everyS: number,
  tempC: (minute: number) => number,
): { seen: Turn[]; turns: Turns } {
  const turns = newTurns();
  const seen: Turn[] = [];
  for (let at = 0; at <= minutes * MINUTE_MS; at += everyS * SECOND_MS) {
    const what = followTurns(turns, START_MS + at, tempC(at / MINUTE_MS));
    const wasAt = what === 'low' ? turns.lowAt : turns.highAt;
    if (what) seen.push({ what, noticed: at / MINUTE_MS, was: (Number(wasAt) - START_MS) / MINUTE_MS });
  }
  return { seen, turns };
}

/** Lows at 5, 15, 25 … min, highs at 0, 10, 20 …: as after stokes ten minutes apart. */
const stoked = (amplitudeC: number) => (minute: number) =>
  900 + minute + amplitudeC * Math.cos((2 * Math.PI * minute) / 10);

describe('the turns of a kiln that is stoked each ten minutes', () => {
  // A stoke takes 10 to 25 °C: common practice, no source.
  it.each([
    { everyS: 1, amplitudeC: 5 },
    { everyS: 10, amplitudeC: 12 },
    { everyS: 20, amplitudeC: 12 },
    { everyS: 60, amplitudeC: 12 },
  ])('are all seen, each once, within 3 min, at a reading each $everyS s', ({ everyS, amplitudeC }) => {
    const { seen } = follow(60, everyS, stoked(amplitudeC));
    const [first, ...rest] = seen;
    expect(first?.what).toBe('high');
    expect(rest.map(({ what }) => what).slice(0, 10)).toEqual(
      Array.from({ length: 10 }, (_, i) => (i % 2 === 0 ? 'low' : 'high')),
    );
    rest.forEach(({ what, was, noticed }, i) => {
      const truth = 5 * (i + 1);
      expect(what).toBe(i % 2 === 0 ? 'low' : 'high');
      expect(Math.abs(was - truth)).toBeLessThan(1.7);
      expect(noticed - truth).toBeLessThan(4.5);
      expect(noticed).toBeGreaterThan(was);
    });
  });

  it('are told with the height of the high', () => {
    const { turns } = follow(12.5, 10, stoked(12));
    // The true high is 922 at 10 min; the smoothing takes a little.
    expect(turns.rising).toBe(false);
    expect(turns.highC).toBeGreaterThan(917);
    expect(turns.highC).toBeLessThan(922);
    expect(turns.highC - turns.extremeC).toBeGreaterThan(4);
  });
});

describe('no turn is seen', () => {
  it.each([
    { what: 'in a climb', tempC: (minute: number) => 900 + minute },
    { what: 'in ripples of less than 4 °C from low to high', tempC: stoked(1.5) },
    { what: 'in a closed kiln but for the first', tempC: (minute: number) => 1200 - 5 * minute },
    {
      // ±3 °C, the sign changing with each reading.
      what: 'in the noise of a couple that is read each second',
      tempC: (minute: number) => 900 + 3 * (Math.round(minute * 60) % 2 === 0 ? 1 : -1),
    },
  ])('$what', ({ tempC }) => {
    expect(follow(60, 1, tempC).seen.filter(({ what }) => what === 'low')).toEqual([]);
  });
});

it('after a new start the direction is forgotten and the last turns are kept', () => {
  const { turns } = follow(17, 10, stoked(12));
  expect(turns.rising).toBe(true);
  const { lowAt, highAt } = turns;
  expect(lowAt).not.toBeNull();
  restartTurns(turns);
  expect(turns.rising).toBeNull();
  // Another set of probes stands 300 °C elsewhere: that is no turn.
  for (let i = 0; i <= 30; i++) {
    expect(followTurns(turns, START_MS + 17 * MINUTE_MS + i * 10_000, 600 + i / 10)).toBeNull();
  }
  expect(turns).toMatchObject({ lowAt, highAt, rising: true });
});
