/** When the kiln is looked at: each whole second once, before any input of that second, and at each input. */
import { beforeEach, describe, expect, it, vi } from 'vitest';
import type { KilnView } from '../../alerts/view.ts';
import type { CoreInput } from '../../collector/core/inputs.ts';
import { newFiring } from '../../collector/core/state.ts';
import { step } from '../../collector/core/step.ts';
import { alertsIn, feed, helloOf, inputOf, planOf, probeOf, START_MS } from '../support/kiln.ts';

/** Every look at the kiln is a question to the alerts. */
const looks = vi.hoisted((): number[] => []);
vi.mock('../../alerts/life.ts', async (original) => {
  const life = await original<typeof import('../../alerts/life.ts')>();
  return {
    ...life,
    advanceAlerts: (...[lives, rules, view]: Parameters<typeof life.advanceAlerts>) => {
      looks.push((view satisfies KilnView).at);
      return life.advanceAlerts(lives, rules, view);
    },
  };
});

beforeEach(() => {
  looks.length = 0;
});

const HELLO = inputOf.hello(START_MS, helloOf([probeOf('low')], 1000));
const at = (ms: number): number => START_MS + ms;
const reading = (ms: number, late = false): CoreInput => inputOf.reading(at(ms), { low: 20 }, late);
const note = (ms: number): CoreInput => inputOf.log(at(ms), { log: 'note', note: 'windy' });
const tick = (ms: number): CoreInput => inputOf.tick(at(ms));

describe('the kiln is looked at', () => {
  it.each<{ what: string; inputs: CoreInput[]; looksMs: number[] }>([
    { what: 'not before the first second is over', inputs: [HELLO, tick(999)], looksMs: [] },
    { what: 'at a whole second, by a tick on it', inputs: [HELLO, tick(1000)], looksMs: [1000] },
    {
      what: 'once, however often it is ticked',
      inputs: [HELLO, tick(1000), tick(1000), tick(1999)],
      looksMs: [1000],
    },
    {
      what: 'at every second that a tick leaves behind',
      inputs: [HELLO, tick(3500)],
      looksMs: [1000, 2000, 3000],
    },
    {
      what: 'at a whole second before the readings of it, and at each reading',
      inputs: [HELLO, reading(1400), reading(2000), reading(2600)],
      looksMs: [1000, 1400, 2000, 2000, 2600],
    },
    {
      what: 'at a whole second before an entry of it, and at the entry',
      inputs: [HELLO, note(1000), note(2300)],
      looksMs: [1000, 1000, 2000, 2300],
    },
    {
      what: 'before a hello, but not at it',
      inputs: [HELLO, inputOf.hello(at(1500), helloOf([probeOf('low')]))],
      looksMs: [1000],
    },
    {
      what: 'in the second after the archive has trouble: no archive knows when that was',
      inputs: [
        HELLO,
        { kind: 'trouble', at: at(700), what: 'archive', text: 'The disk is full.' },
        tick(1300),
      ],
      looksMs: [1000],
    },
    {
      what: 'not for a late reading, whatever its time',
      inputs: [HELLO, reading(1500), reading(700, true), tick(2000)],
      looksMs: [1000, 1500, 2000],
    },
  ])('$what', ({ inputs, looksMs }) => {
    feed(inputs);
    expect(looks.map((ms) => ms - START_MS)).toEqual(looksMs);
  });

  it('at the same whole seconds whether time comes in ticks or in readings', () => {
    feed([HELLO, ...[1, 2, 3, 4, 5].map((s) => tick(s * 1000 + 250))]);
    const ticked = [...looks];
    looks.length = 0;
    feed([HELLO, tick(5250)]);
    expect(looks).toEqual(ticked);
  });
});

describe('a jump of the clock', () => {
  it('of 30 years is over soon, and says what had to be said in its time', () => {
    const state = newFiring(planOf());
    feed([HELLO, reading(500)], state);
    const { outputs } = step(state, tick(30 * 365.25 * 86_400_000));
    // Two days of seconds, and the end.
    expect(looks.length).toBeLessThan(2 * 86_400 + 5);
    expect(looks.at(-1)).toBe(at(30 * 365.25 * 86_400_000));
    const told = alertsIn(outputs).map(({ name, at: ms }) => [name, ms - START_MS]);
    expect(told).toEqual([['link-silent', 61_000]]);
  });

  it('is followed by one second at a time again', () => {
    const state = newFiring(planOf());
    const jumpMs = 100 * 86_400_000;
    feed([HELLO, tick(jumpMs)], state);
    looks.length = 0;
    feed([tick(jumpMs + 2500)], state);
    expect(looks.map((ms) => ms - START_MS - jumpMs)).toEqual([1000, 2000]);
  });

  it('backwards looks at no second twice', () => {
    const state = newFiring(planOf());
    feed([HELLO, tick(5000), tick(2000), tick(6000)], state);
    expect(looks.map((ms) => ms - START_MS)).toEqual([1000, 2000, 3000, 4000, 5000, 6000]);
  });
});
