/** The screen in front of the track: spikes, real jumps, frozen read-outs, loose couples. */
import { describe, expect, it } from 'vitest';
import {
  isLoose,
  newScreen,
  type Screened,
  screenFault,
  screenReading,
} from '../../collector/core/screen.ts';
import type { RawValue } from '../../protocol/probes.ts';
import { MINUTE_MS, SECOND_MS, START_MS } from '../support/kiln.ts';

/** What the screen says to each value, one each `everyS`; a text is a fault that the chip reports. */
function screened(
  values: readonly (number | 'fault')[],
  { everyS = 10, cooling = false }: { everyS?: number; cooling?: boolean } = {},
) {
  const screen = newScreen();
  const said: (Screened | 'fault')[] = values.map((tempC, i) => {
    if (tempC === 'fault') {
      screenFault(screen);
      return 'fault';
    }
    return screenReading(screen, { at: START_MS + i * everyS * SECOND_MS, tempC, raw: tempC, cooling });
  });
  return { said, loose: isLoose(screen) };
}

const GOOD = 'good';
const SPIKE = 'spike';
const JUMP = 'jump';

describe('a value that jumps', () => {
  it.each([
    { what: 'the first reading', values: [900], said: [GOOD] },
    { what: 'a slow climb', values: [900, 901, 902], said: [GOOD, GOOD, GOOD] },
    // Readings each 10 s: 35 °C and half a degree a second are believed.
    { what: 'a large stoke dip', values: [900, 861, 890], said: [GOOD, GOOD, GOOD] },
    { what: 'one spike upward', values: [900, 1300, 901], said: [GOOD, SPIKE, GOOD] },
    { what: 'one spike downward', values: [900, 0, 901], said: [GOOD, SPIKE, GOOD] },
    { what: 'two spikes running', values: [900, 1300, 500, 901], said: [GOOD, SPIKE, SPIKE, GOOD] },
    {
      what: 'two spikes alike, then the old heat',
      values: [900, 1300, 1300, 901],
      said: [GOOD, SPIKE, SPIKE, GOOD],
    },
    {
      what: 'a real jump: the fourth reading that agrees',
      values: [900, 400, 401, 402, 403, 404],
      said: [GOOD, SPIKE, SPIKE, SPIKE, JUMP, GOOD],
    },
    {
      what: 'noise that never agrees with itself',
      values: [900, 100, 1500, 200, 1400, 300, 901],
      said: [GOOD, SPIKE, SPIKE, SPIKE, SPIKE, SPIKE, GOOD],
    },
    {
      what: 'a wild first reading: the right ones are believed in the end',
      values: [1300, 20, 20.3, 20.1, 20.2, 20.3],
      said: [GOOD, SPIKE, SPIKE, SPIKE, JUMP, GOOD],
    },
  ])('$what', ({ values, said }) => {
    expect(screened(values).said).toEqual(said);
  });

  it('allows more the longer nothing good came: 35 °C and half a degree a second', () => {
    // 100 s later: 35 + 50.
    expect(screened([900, 984], { everyS: 100 }).said).toEqual([GOOD, GOOD]);
    expect(screened([900, 986], { everyS: 100 }).said).toEqual([GOOD, SPIKE]);
  });

  it('takes any value after 5 min without a good one, and begins anew if it is far off', () => {
    expect(screened([900, 1300], { everyS: 299 }).said).toEqual([GOOD, SPIKE]);
    expect(screened([900, 1300], { everyS: 301 }).said).toEqual([GOOD, JUMP]);
    expect(screened([900, 1000], { everyS: 301 }).said).toEqual([GOOD, GOOD]);
  });
});

describe('a read-out that has frozen', () => {
  const same = (count: number, tempC = 900): number[] => Array.from({ length: count }, () => tempC);

  it.each([
    // A kiln that is stoked always ripples: common practice, no source (a stuck read-out passed for a stall).
    { what: 'stands for 5 min while burning', values: same(31), everyS: 10, cooling: false, stuck: 1 },
    { what: 'stands for a little less', values: same(30), everyS: 10, cooling: false, stuck: 0 },
    { what: 'stands for 5 min, but in few readings', values: same(11), everyS: 60, cooling: false, stuck: 0 },
    { what: 'stands for 12 readings a minute apart', values: same(12), everyS: 60, cooling: false, stuck: 1 },
    { what: 'stands in a closed kiln', values: same(90), everyS: 60, cooling: true, stuck: 0 },
    { what: 'stands in a closed kiln for 90 min', values: same(91), everyS: 60, cooling: true, stuck: 1 },
    { what: 'stands cold', values: same(60, 149.9), everyS: 60, cooling: false, stuck: 0 },
    {
      what: 'ripples by a digit of a coarse chip',
      values: Array.from({ length: 60 }, (_, i) => 900 + 0.25 * (i % 2)),
      everyS: 10,
      cooling: false,
      stuck: 0,
    },
    {
      // 28 °C/h, the slowest climb that anybody plans, in tenths of a degree.
      what: 'climbs slowly',
      values: Array.from({ length: 60 }, (_, i) => Math.round(9000 + i * 0.78) / 10),
      everyS: 10,
      cooling: false,
      stuck: 0,
    },
  ])('$what', ({ values, everyS, cooling, stuck }) => {
    expect(screened(values, { everyS, cooling }).said.filter((said) => said === 'stuck')).toHaveLength(stuck);
  });

  it.each([
    // The cold junction goes on: the temperature creeps by a degree while the number stays.
    {
      what: 'by its number, while the cold junction moves on',
      raw: () => 33_275,
      c: (i: number) => 900 + i / 30,
    },
    // Type K: a microvolt is 0.025 °C.
    {
      what: 'by its temperature, while number and cold junction round differently',
      raw: (i: number) => 33_275 + (i % 3),
      c: (i: number) => 900 + 0.025 * (i % 3),
    },
  ])('is known $what', ({ raw, c }) => {
    const screen = newScreen();
    const said = Array.from({ length: 40 }, (_, i) => {
      const value: RawValue = raw(i);
      return screenReading(screen, { at: START_MS + i * 10_000, tempC: c(i), raw: value, cooling: false });
    });
    expect(said.indexOf('stuck')).toBe(30);
    expect(said.at(-1)).toBe('stuck');
  });

  it('is believed again at once when it lives, wherever the kiln is by then', () => {
    const { said } = screened([...same(35), 1100, 1101]);
    expect(said.slice(-3)).toEqual(['stuck', 'good', 'good']);
  });
});

describe('a loose couple', () => {
  const calm = (count: number): number[] => Array.from({ length: count }, (_, i) => 900 + (i % 2));
  /** A bad reading, then good ones, so many times. */
  const often = (bad: number | 'fault', times: number, between: number) =>
    Array.from({ length: times }, () => [bad, ...calm(between)]).flat();

  it.each([
    { what: 'four spikes in 30 readings', values: [...calm(2), ...often(1300, 4, 6)], loose: true },
    { what: 'three spikes in 30 readings', values: [...calm(2), ...often(1300, 3, 6)], loose: false },
    { what: 'four spikes in 40 readings', values: [...calm(2), ...often(1300, 4, 9)], loose: false },
    // Seldom, but again and again.
    { what: 'six spikes in 120 readings', values: [...calm(2), ...often(1300, 6, 18)], loose: true },
    { what: 'five spikes in 120 readings', values: [...calm(2), ...often(1300, 5, 18)], loose: false },
    {
      what: 'six spikes in 150 readings',
      values: [...calm(2), ...often(1300, 6, 25)],
      loose: false,
    },
    { what: 'four breaks in 30 readings', values: [...calm(2), ...often('fault', 4, 6)], loose: true },
    {
      what: 'one break that lasts',
      values: [...calm(2), ...Array.from({ length: 20 }, () => 'fault' as const), ...calm(3)],
      loose: false,
    },
    {
      what: 'spikes and breaks together',
      values: [...calm(2), ...often('fault', 2, 4), ...often(200, 2, 4)],
      loose: true,
    },
    {
      what: 'four spikes, and then 30 good readings',
      values: [...calm(2), ...often(1300, 4, 6), ...calm(30)],
      loose: false,
    },
  ])('$what: $loose', ({ values, loose }) => {
    expect(screened(values).loose).toBe(loose);
  });

  it('is nothing to an open door: a real jump down, and minutes later one up', () => {
    const values = [...calm(20), ...calm(8).map((tempC) => tempC - 120), ...calm(20)];
    const { said, loose } = screened(values);
    expect(said.filter((each) => each === JUMP)).toHaveLength(2);
    expect(loose).toBe(false);
  });

  it('is nothing to a real jump', () => {
    expect(screened([900, 400, 401, 402, 403, 404]).loose).toBe(false);
  });

  it('is counted over the last 30 readings however many came before', () => {
    expect(screened([...calm(1800), ...often(1300, 4, 6)], { everyS: 10 }).loose).toBe(true);
    expect(screened(calm(1800), { everyS: (5 * MINUTE_MS) / SECOND_MS / 30 }).loose).toBe(false);
  });
});
