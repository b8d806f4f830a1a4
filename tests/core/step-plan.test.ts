/** What the plan says reaches the figures and the alerts: figures, corrections, the guide. */
import { describe, expect, it } from 'vitest';
import type { CoreInput } from '../../collector/core/inputs.ts';
import { newFiring } from '../../collector/core/state.ts';
import type { RawValue } from '../../protocol/probes.ts';
import { feed, inputOf, planOf, readingsIn, START_MS, toldBesideStokes, toldIn } from '../support/kiln.ts';
import { atH, climbing, hello, readings, ripple, rounded } from './two-probes.ts';

describe('a change of the plan in mid-firing', () => {
  const steady = [hello(), ...readings(0, 4, climbing(700, 15))];

  it('counts from then on: 15 °C/h is a stall only for who says so', () => {
    const { state, outputs } = feed(steady);
    expect(toldIn(outputs).filter((told) => told.includes('stall'))).toEqual([]);
    const changed = inputOf.log(atH(4), { log: 'plan', stallCPerH: 30, id: 'p' });
    const later = feed([changed, ...readings(4, 5, climbing(700, 15))], state);
    // 9.5 °C/h below the steady sum's reference of 30 - 5.5: 195 °C/h times minutes are reached in about 21 min.
    expect(toldBesideStokes(later.outputs)).toEqual(['261.0 stall raised']);
    const undone = inputOf.log(atH(5), { log: 'undo', id: 'p' });
    const last = feed([undone, ...readings(5, 6.5, climbing(700, 15))], later.state);
    expect(last.state.plan).toEqual(planOf());
  });

  it("a correction moves the probe's heat at once, and is no climb, no fall and no stoke", () => {
    const offsets = [
      { probe: 'low', offsetC: -60 },
      { probe: 'high', offsetC: -60 },
    ];
    const change = inputOf.log(atH(3), { log: 'plan', offsets, id: 'p' });
    const plain = feed([hello(), ...readings(0, 5, climbing(700, 60))]);
    const moved = feed([
      hello(),
      ...readings(0, 3, climbing(700, 60)),
      change,
      ...readings(3, 5, climbing(700, 60)),
    ]);
    const [a, b] = [plain, moved].map(({ outputs }) => readingsIn(outputs).at(-1)?.kiln);
    expect(b?.climbCPerH).toBe(a?.climbCPerH);
    expect(Number(a?.smoothC) - Number(b?.smoothC)).toBeCloseTo(60, 6);
    expect(toldIn(moved.outputs)).toEqual(toldIn(plain.outputs));
    expect(moved.state.stoking.seen).toEqual(plain.state.stoking.seen);
  });
});

describe("the user's own corrections", () => {
  const tempsWith = (offsets: unknown[]): (number | null)[] => {
    const { outputs } = feed([
      hello(),
      inputOf.log(START_MS, { log: 'plan', offsets }),
      ...[1, 2, 3].map((hour) => inputOf.reading(atH(hour), { low: 500, high: 500 })),
    ]);
    return readingsIn(outputs).map(({ rows }) => rows[0]?.tempC ?? null);
  };
  const from = (hours: number) => new Date(atH(hours)).toISOString();

  it.each<{ what: string; offsets: unknown[]; temps: number[] }>([
    { what: 'none', offsets: [], temps: [500, 500, 500] },
    { what: 'without a date, always', offsets: [{ probe: 'low', offsetC: 7 }], temps: [507, 507, 507] },
    { what: "another probe's", offsets: [{ probe: 'high', offsetC: 7 }], temps: [500, 500, 500] },
    {
      what: 'dated, from then on',
      offsets: [{ probe: 'low', offsetC: 7, from: from(2) }],
      temps: [500, 507, 507],
    },
    {
      what: 'several: the latest that holds',
      offsets: [
        { probe: 'low', offsetC: 9, from: from(3) },
        { probe: 'low', offsetC: 7, from: from(2) },
        { probe: 'low', offsetC: -3 },
      ],
      temps: [497, 507, 509],
    },
  ])('$what', ({ offsets, temps }) => {
    expect(tempsWith(offsets)).toEqual(temps);
  });
});

describe('what stands for the kiln', () => {
  const values = (hours: number): Record<string, RawValue> => ({
    low: rounded(800 + 60 * hours + ripple(hours)),
    high: rounded(1000 + 60 * hours + ripple(hours)),
  });
  const kilnAt = (inputs: readonly CoreInput[], plan: Record<string, unknown>) =>
    readingsIn(feed(inputs, newFiring(planOf(plan))).outputs).at(-1)?.kiln.smoothC ?? null;
  const gone = (hours: number): Record<string, RawValue> => ({ ...values(hours), high: '!open' });

  it.each<{ what: string; inputs: CoreInput[]; plan: Record<string, unknown>; aboutC: number | null }>([
    { what: 'the mean of the probes', inputs: readings(0, 2, values), plan: {}, aboutC: 1020 },
    { what: "the plan's guide", inputs: readings(0, 2, values), plan: { guide: 'high' }, aboutC: 1120 },
    {
      what: 'the mean where the guide is none of the probes',
      inputs: readings(0, 2, values),
      plan: { guide: 'roof' },
      aboutC: 1020,
    },
    {
      what: 'what works of the rest once the guide has failed',
      inputs: [...readings(0, 2, values), ...readings(2, 2.1, gone)],
      plan: { guide: 'high' },
      aboutC: 926,
    },
    {
      what: 'the guide again once it reads',
      inputs: [...readings(0, 2, values), ...readings(2, 2.1, gone), ...readings(2.1, 2.2, values)],
      plan: { guide: 'high' },
      aboutC: 1132,
    },
    { what: 'nothing with no reading', inputs: [], plan: {}, aboutC: null },
  ])('$what', ({ inputs, plan, aboutC }) => {
    const smoothC = kilnAt([hello(), ...inputs], plan);
    if (aboutC === null) expect(smoothC).toBeNull();
    else expect(Math.abs(Number(smoothC) - aboutC)).toBeLessThan(8);
  });

  it('one reading with a fault among good ones takes nobody out of the mean', () => {
    const inputs = [hello(), ...readings(0, 2, values), inputOf.reading(atH(2) + 10_000, gone(2))];
    expect(Math.abs(Number(kilnAt(inputs, {})) - 1020)).toBeLessThan(8);
  });
});
