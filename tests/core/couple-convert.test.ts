/** A value on the board's line to a temperature, or to why there is none. */
import { describe, expect, test } from 'vitest';
import { convert, coupleLimitC } from '../../collector/core/couple/convert.ts';
import { coupleRangeC, emfMv } from '../../collector/core/couple/reference-function.ts';
import { COUPLE_TYPES, type ProbeSpec } from '../../protocol/probes.ts';

const uv = (couple: ProbeSpec['couple']): ProbeSpec => ({ name: 'low', couple, form: { kind: 'uv' } });
const deg = (couple: ProbeSpec['couple']): ProbeSpec => ({ name: 'low', couple, form: { kind: 'deg' } });
const lin = (couple: ProbeSpec['couple'], uvPerC: number): ProbeSpec => ({
  name: 'low',
  couple,
  form: { kind: 'lin', uvPerC },
});

describe('a chip that takes type K as linear at 41.276 µV/°C', () => {
  /** What it reads with its own junction at 30 °C; computed from the NIST SRD 60 functions. */
  const READINGS = [
    { trueC: 800, reads: 807.0 },
    { trueC: 1000, reads: 1000.8 },
    { trueC: 1200, reads: 1184.1 },
    { trueC: 1260, reads: 1236.4 },
  ];

  test.each(READINGS)('reads $reads at $trueC °C', ({ trueC, reads }) => {
    const emfUv = (emfMv('K', trueC) - emfMv('K', 30)) * 1000;
    expect(emfUv / 41.276 + 30).toBeCloseTo(reads, 1);
  });

  test.each(READINGS)('$reads is undone to $trueC °C', ({ trueC, reads }) => {
    const { tempC } = convert(lin('K', 41.276), reads, 30);
    // The reading is printed to 0.1 °C, and type K gives a little less than 41.276 µV/°C up there.
    expect(Math.abs(Number(tempC) - trueC)).toBeLessThan(0.06);
  });

  test('is 16 °C low at 1200 °C and 24 °C low at 1260 °C', () => {
    expect(Number(convert(lin('K', 41.276), 1184.1, 30).tempC) - 1184.1).toBeCloseTo(15.9, 0);
    expect(Number(convert(lin('K', 41.276), 1236.4, 30).tempC) - 1236.4).toBeCloseTo(23.6, 0);
  });

  test.each([-20, 0, 12.5, 60, 85])(
    'at its own junction of %f °C and the kiln as cold, reads that',
    (cold) => {
      const { tempC } = convert(lin('K', 41.276), cold, cold);
      expect(tempC).toBeCloseTo(cold, 8);
    },
  );

  test('any other couple and slope is undone in the same way', () => {
    const reading = ((emfMv('S', 1250) - emfMv('S', 22)) * 1000) / 9.587 + 22;
    expect(convert(lin('S', 9.587), reading, 22).tempC).toBeCloseTo(1250, 7);
  });
});

describe('microvolts', () => {
  test.each(COUPLE_TYPES)('type %s: compensated by its own EMF at the cold junction', (couple) => {
    const trueC = couple === 'T' ? 350 : 900;
    for (const coldJunctionC of [0, 18.5, 60, 125]) {
      const raw = (emfMv(couple, trueC) - emfMv(couple, coldJunctionC)) * 1000;
      expect(convert(uv(couple), raw, coldJunctionC).tempC).toBeCloseTo(trueC, 7);
    }
  });

  test('a board out in the frost still reads, down to -55 °C', () => {
    for (const coldJunctionC of [-10, -55]) {
      const raw = (emfMv('K', 1000) - emfMv('K', coldJunctionC)) * 1000;
      expect(convert(uv('K'), raw, coldJunctionC).tempC).toBeCloseTo(1000, 7);
    }
  });

  test('more or less than the couple can give is out of range', () => {
    expect(convert(uv('K'), 60_000, 20)).toEqual({ tempC: null, state: 'range' });
    expect(convert(uv('K'), -9_000, 20)).toEqual({ tempC: null, state: 'range' });
    expect(convert(uv('K'), Number.NaN, 20)).toEqual({ tempC: null, state: 'range' });
    expect(convert(uv('K'), Number.POSITIVE_INFINITY, 20)).toEqual({ tempC: null, state: 'range' });
  });
});

describe('no temperature without a cold junction', () => {
  test.each([
    ['not measured', null],
    ['colder than its sensor can be', -55.1],
    ['hotter than its sensor can be', 125.1],
    ['not a number', Number.NaN],
  ])('%s', (_, coldJunctionC) => {
    const nothing = { tempC: null, state: 'no-cold-junction' };
    expect(convert(uv('K'), 41_000, coldJunctionC)).toEqual(nothing);
    expect(convert(lin('K', 41.276), 1000, coldJunctionC)).toEqual(nothing);
    expect(convert(deg('K'), 1000, coldJunctionC)).toEqual({ tempC: 1000, state: 'ok' });
  });

  test('below what the couple is published for', () => {
    expect(convert(uv('B'), 5000, -0.1).state).toBe('no-cold-junction');
    expect(convert(uv('B'), 5000, 0).state).toBe('ok');
    expect(convert(uv('S'), 5000, -50.1).state).toBe('no-cold-junction');
    expect(convert(uv('S'), 5000, -50).state).toBe('ok');
  });
});

describe("the chip's own word", () => {
  test.each([
    ['!open', 'open'],
    ['!short', 'short'],
    ['!range', 'range'],
    [null, 'not-measured'],
  ] as const)('%s is %s in every form, with or without a cold junction', (raw, state) => {
    for (const spec of [uv('K'), deg('K'), lin('K', 41.276)])
      for (const coldJunctionC of [20, null])
        expect(convert(spec, raw, coldJunctionC)).toEqual({ tempC: null, state });
  });
});

describe('degrees', () => {
  test.each(COUPLE_TYPES)('type %s: as they are, within its range', (couple) => {
    const { lowC, highC } = coupleRangeC(couple);
    expect(convert(deg(couple), highC, null)).toEqual({ tempC: highC, state: 'ok' });
    expect(convert(deg(couple), highC + 0.1, null)).toEqual({ tempC: null, state: 'range' });
    if (couple !== 'B') {
      expect(convert(deg(couple), lowC, null)).toEqual({ tempC: lowC, state: 'ok' });
      expect(convert(deg(couple), lowC - 0.1, null)).toEqual({ tempC: null, state: 'range' });
    }
  });
});

describe('type B below 250 °C is too cold to read, in every form', () => {
  const tooCold = { tempC: null, state: 'too-cold' };

  test.each([20, 100, 249])('at %d °C', (trueC) => {
    const raw = (emfMv('B', trueC) - emfMv('B', 22)) * 1000;
    expect(convert(uv('B'), raw, 22)).toEqual(tooCold);
    expect(convert(lin('B', 10), raw / 10 + 22, 22)).toEqual(tooCold);
    expect(convert(deg('B'), trueC, null)).toEqual(tooCold);
  });

  test('at 251 °C it reads', () => {
    const raw = (emfMv('B', 251) - emfMv('B', 22)) * 1000;
    expect(convert(uv('B'), raw, 22).tempC).toBeCloseTo(251, 6);
    expect(convert(deg('B'), 251, null).tempC).toBe(251);
  });

  test('wired the wrong way round and hot, it is out of range', () => {
    expect(convert(uv('B'), -emfMv('B', 600) * 1000, 22)).toEqual({ tempC: null, state: 'range' });
  });
});

test('the limit of a couple is the top of its reference function (NIST SRD 60)', () => {
  const limits = Object.fromEntries(COUPLE_TYPES.map((couple) => [couple, coupleLimitC(couple)]));
  expect(limits).toEqual({ B: 1820, E: 1000, J: 1200, K: 1372, N: 1300, R: 1768.1, S: 1768.1, T: 400 });
});
