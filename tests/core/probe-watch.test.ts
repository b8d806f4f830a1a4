/** What shows beside the other probes, through the whole core: a step that stays, a couple that drifts, a board that is wrong. */
import { describe, expect, it } from 'vitest';
import type { CoreInput } from '../../collector/core/inputs.ts';
import {
  alertsIn,
  type Fed,
  feed,
  HOUR_MS,
  helloOf,
  inputOf,
  MINUTE_MS,
  probeOf,
  readingsIn,
  START_MS,
} from '../support/kiln.ts';
import { atH, readings, ripple, rounded } from './two-probes.ts';

const PERIOD_MS = 20_000;
const NAMES = ['low', 'mid', 'high'] as const;
type Name = (typeof NAMES)[number];
const OFFSET_C: Record<Name, number> = { low: -8, mid: 6, high: 40 };

/** Three probes in a kiln that climbs by 80 °C/h and is stoked, but for what is told. */
const kiln =
  (wrong: Partial<Record<Name, (hours: number) => number>> = {}, names: readonly Name[] = NAMES) =>
  (hours: number): Record<string, number> =>
    Object.fromEntries(
      names.map((name) => [
        name,
        rounded(20 + 80 * hours + OFFSET_C[name] + ripple(hours) + (wrong[name]?.(hours) ?? 0)),
      ]),
    );

const begin = (names: readonly Name[] = NAMES): CoreInput =>
  inputOf.hello(
    START_MS,
    helloOf(
      names.map((name) => probeOf(name, 'N')),
      PERIOD_MS,
    ),
  );

const faults = ({ outputs }: Pick<Fed, 'outputs'>) =>
  alertsIn(outputs)
    .filter(({ name }) => name === 'probe-fault')
    .map(({ at, state, probe, text }) => ({ hours: (at - START_MS) / HOUR_MS, state, probe, text }));

const slides = (rateCPerH: number, fromH: number) => (hours: number) =>
  rateCPerH * Math.max(hours - fromH, 0);

describe('a couple that drifts', () => {
  const fed = feed([begin(), ...readings(0, 12, kiln({ low: slides(-50, 8.5) }), PERIOD_MS)]);
  const last = readingsIn(fed.outputs).at(-1);

  it('is told in words, with how far, since when and what to check', () => {
    const [raised, ...more] = faults(fed);
    expect(more).toEqual([]);
    expect(raised).toMatchObject({ state: 'raised', probe: 'low' });
    expect(raised?.hours).toBeLessThan(11.5);
    expect(raised?.text).toMatch(
      /^Probe low: it has slid down from the others by \d+ °F \(\d+ °C\) in \d h( \d+ min)?\. It does not count for the kiln while another probe works: check by cone/,
    );
  });

  it('is flagged, still shown, and the others speak for the kiln, without a jump in the climb', () => {
    expect(last?.rows.map(({ flags }) => flags)).toEqual([['drift'], [], []]);
    expect(last?.rows[0]?.smoothC).not.toBeNull();
    expect(last?.rows[0]?.fault).toMatch(/has slid down/);
    const [, mid, high] = last?.rows ?? [];
    expect(last?.kiln.smoothC).toBeCloseTo((Number(mid?.smoothC) + Number(high?.smoothC)) / 2, 9);
    expect(Math.abs(Number(last?.kiln.climbCPerH) - 80)).toBeLessThan(15);
  });

  it('though it is the plan’s guide', () => {
    const plan = inputOf.log(START_MS, { log: 'plan', guide: 'low' });
    const guided = feed([begin(), plan, ...readings(0, 12, kiln({ low: slides(-50, 8.5) }), PERIOD_MS)]);
    const end = readingsIn(guided.outputs).at(-1);
    expect(end?.kiln.smoothC).toBeGreaterThan(Number(end?.rows[0]?.smoothC) + 100);
  });

  it('begins anew when it is logged as put back, and ends when it is pulled', () => {
    const log = (what: string) => inputOf.log(atH(12), { log: what, probe: 'low' });
    const logged = (what: string) =>
      feed(
        [log(what), ...readings(12, 12.2, kiln({ low: () => -175 }), PERIOD_MS)],
        structuredClone(fed.state),
      ).outputs;
    const back = logged('put-back');
    expect(faults({ outputs: back }).map(({ state, text }) => [state, text])).toEqual([
      ['cleared', 'Probe low reads again.'],
    ]);
    expect(readingsIn(back).at(-1)?.rows[0]).toMatchObject({ flags: [], fault: null });
    const pulled = logged('pulled');
    expect(faults({ outputs: pulled }).map(({ text }) => text)).toEqual(['Probe low was pulled.']);
    expect(readingsIn(pulled).at(-1)?.rows[0]).toMatchObject({ flags: ['pulled'], fault: null });
  });
});

it('two probes that part: one of them is told of, both count, and it is said that it may be the other', () => {
  const two = ['low', 'high'] as const;
  const fed = feed([begin(two), ...readings(0, 13, kiln({ low: slides(-60, 8) }, two), PERIOD_MS)]);
  const [raised] = faults(fed);
  expect(raised?.probe).toBe('low');
  expect(raised?.text).toMatch(
    /^Probe low: it and high have parted by .* check both by cone, and pull that one\.$/,
  );
  const last = readingsIn(fed.outputs).at(-1);
  const [low, high] = last?.rows ?? [];
  expect(low?.flags).toEqual([]);
  expect(last?.kiln.smoothC).toBeCloseTo((Number(low?.smoothC) + Number(high?.smoothC)) / 2, 9);
});

it('what a salted, raked and opened kiln does is no fault', () => {
  // The door stands open for three minutes: all places lose heat, one of them most of all.
  const door = (mostC: number) => (hours: number) => (hours > 9 && hours < 9.05 ? -mostC : 0);
  const fed = feed([
    begin(),
    ...readings(0, 11, kiln({ low: door(150), mid: door(110), high: door(90) }), PERIOD_MS),
  ]);
  expect(faults(fed)).toEqual([]);
});

describe('a step', () => {
  const step =
    (byC: number, fromH: number, toH = 99) =>
    (hours: number) =>
      hours > fromH && hours < toH ? byC : 0;

  it.each([
    { what: 'down', byC: -120, words: 'jumped down by 216 °F (120 °C) at once' },
    { what: 'up', byC: 220, words: 'jumped up by' },
  ])('$what that stays is told, and is over by itself', ({ byC, words }) => {
    const fed = feed([begin(), ...readings(0, 8, kiln({ mid: step(byC, 6) }), PERIOD_MS)]);
    const told = faults(fed);
    expect(told.map(({ state, probe }) => `${state} ${probe}`)).toEqual(['raised mid', 'cleared mid']);
    expect(told[0]?.text.replace(/by 2\d\d °F \(1[12]\d °C\)/, 'by 216 °F (120 °C)')).toContain(words);
    expect(told[0]?.text).toMatch(
      /at once, and stayed\. Was it moved, or the board struck\? Check by cone\.$/,
    );
    expect(told[0]?.hours).toBeGreaterThan(6 + 5 / 60);
    expect(told[0]?.hours).toBeLessThan(6 + 10 / 60);
    expect(told[1]?.hours).toBeLessThan(7);
    // It is believed: nothing was wrong with the couple, it may have been moved.
    expect(readingsIn(fed.outputs).at(-1)?.rows[1]?.flags).toEqual([]);
  });

  it.each<{ what: string; wrong: Partial<Record<Name, (hours: number) => number>> }>([
    { what: 'that goes back within minutes', wrong: { mid: step(-120, 6, 6.05) } },
    { what: 'of all probes alike', wrong: { low: step(-120, 6), mid: step(-130, 6), high: step(-110, 6) } },
    { what: 'that a large stoke could be', wrong: { mid: step(-45, 6, 6.2) } },
  ])('$what is not told', ({ wrong }) => {
    expect(faults(feed([begin(), ...readings(0, 7.5, kiln(wrong), PERIOD_MS)]))).toEqual([]);
  });

  it('over a gap is none: nobody saw it step, it is only seen to have left the others', () => {
    const fed = feed([
      begin(),
      ...readings(0, 6, kiln(), PERIOD_MS),
      ...readings(6.2, 7.5, kiln({ mid: step(-220, 6) }), PERIOD_MS),
    ]);
    expect(faults(fed).map(({ text }) => text)).toEqual([
      expect.stringMatching(/^Probe mid: it has slid down/),
    ]);
  });
});

it('a board whose own temperature jumps is told of, as what is wrong with all its probes', () => {
  const jumps = readings(0, 0.2, kiln(), PERIOD_MS).map((input, i) =>
    input.kind === 'reading' ? { ...input, coldJunctionC: i % 2 === 0 ? 20 : 45 } : input,
  );
  const calm = readings(0.2, 0.6, kiln(), PERIOD_MS);
  const told = faults(feed([begin(), ...jumps, ...calm]));
  expect(told.map(({ state, probe }) => [state, probe])).toEqual([
    ['raised', null],
    ['cleared', null],
  ]);
  expect(told[0]?.text).toMatch(/^Board shed-1 has a temperature of its own that jumps/);
  expect(Number(told[1]?.hours) * HOUR_MS).toBeGreaterThan(0.2 * HOUR_MS + 10 * MINUTE_MS);
});
