/** Probes that are silent, pulled, put back, broken, or of the same name. */
import { describe, expect, it } from 'vitest';
import type { RawValue } from '../../protocol/probes.ts';
import {
  alertsIn,
  feed,
  HOUR_MS,
  helloOf,
  inputOf,
  MINUTE_MS,
  probeOf,
  readingsIn,
  START_MS,
  toldBesideStokes,
  toldIn,
} from '../support/kiln.ts';
import { atH, climbing, HIGH, hello, LOW, PERIOD_MS, readings, rounded } from './two-probes.ts';

describe('a probe without news', () => {
  const { state } = feed([hello(), ...readings(0, 1, climbing(1100, 60))]);
  const rowsAfter = (periods: number) => {
    const at = atH(1) + periods * PERIOD_MS;
    return readingsIn(feed([inputOf.reading(at, { low: 1150 })], structuredClone(state)).outputs);
  };

  it('counts for 5 periods, then not', () => {
    const smooth = (periods: number) => Number(rowsAfter(periods)[0]?.kiln.smoothC);
    // Both, or `low` alone, which is 5 °C below the mean.
    expect(smooth(5) - smooth(6)).toBeGreaterThan(3);
  });
});

describe('a link that was silent for half an hour', () => {
  const values = climbing(700, 60);
  /** Calls to stoke by the clock alone, with no peak of the heat. */
  const byTheClock = (outputs: ReturnType<typeof feed>['outputs']) =>
    alertsIn(outputs).filter(
      ({ name, state, text }) =>
        name === 'stoke-due' && state === 'raised' && !text.includes('has given its heat'),
    );

  it('leaves open when somebody stoked, where nobody logs it: no stoke is called due for that', () => {
    const inputs = [hello(), ...readings(0, 3, values), ...readings(3.5, 4.5, values)];
    expect(byTheClock(feed(inputs).outputs)).toEqual([]);
  });

  it('and the rhythm is learnt again from the stokes that are seen after it', () => {
    // The ripple stops at 5 h: nobody stokes any more.
    const still = (hours: number) => ({ low: rounded(1000 + 20 * hours), high: rounded(1010 + 20 * hours) });
    const inputs = [
      hello(),
      ...readings(0, 3, values),
      ...readings(3.5, 5, values),
      ...readings(5, 5.5, still),
    ];
    expect(byTheClock(feed(inputs).outputs)).toHaveLength(1);
  });
});

describe('pulled on purpose', () => {
  const pulled = (at: number, probe: string) =>
    inputOf.log(at, { log: 'pulled', probe, id: `pulled-${probe}` });
  const back = (at: number, probe: string) => inputOf.log(at, { log: 'put-back', probe });
  const hot = [hello(), ...readings(0, 3, climbing(800, 60))];
  const air = () => ({ low: 25, high: 25 });

  it('one probe: no fault, no value, and the other takes over', () => {
    const { state } = feed([...hot, pulled(atH(3), 'low')]);
    const { outputs } = feed(
      readings(3, 3.5, (hours) => ({ ...climbing(800, 60)(hours), low: '!open' })),
      state,
    );
    const last = readingsIn(outputs).at(-1);
    expect(last?.rows[0]).toMatchObject({ probe: 'low', smoothC: null, climbCPerH: null, fault: null });
    expect(last?.rows[0]?.flags).toEqual(['open', 'pulled']);
    expect(last?.kiln.smoothC).toBe(last?.rows[1]?.smoothC);
    expect(last?.rows[0]?.cone).not.toBeNull();
    expect(toldBesideStokes(outputs)).toEqual([]);
  });

  it('all of them: alerts of temperature are cleared, clocks and salt go on', () => {
    const stalled = feed([
      hello(),
      ...readings(0, 1, climbing(900, 60)),
      ...readings(1, 3, climbing(960, 0, 1)),
    ]);
    expect(toldBesideStokes(stalled.outputs).at(-1)).toMatch(/stall raised/);
    const { outputs, state } = feed(
      [
        pulled(atH(3), 'low'),
        pulled(atH(3), 'high'),
        ...readings(3, 3.5, air),
        inputOf.log(atH(3.5), { log: 'salt', hole: 'left', g: 6000, id: 's' }),
        ...readings(3.5, 4, air),
      ],
      stalled.state,
    );
    expect(toldBesideStokes(outputs)).toEqual(['183.0 stall cleared', '210.0 draw-due raised']);
    expect(alertsIn(outputs)[0]?.text).toBe('No couple in the kiln: go by cones and draws.');
    expect(readingsIn(outputs).at(-1)?.kiln).toEqual({ smoothC: null, climbCPerH: null, climbSdCPerH: null });
    expect(state.stage.stage).toBe('salting');
    expect(state.logged.salt.inKg).toBe(6);
  });

  it('put back: it starts anew', () => {
    const { state } = feed([
      ...hot,
      pulled(atH(3), 'low'),
      ...readings(3, 3.2, (hours) => ({ ...climbing(800, 60)(hours), low: 25 })),
      back(atH(3.2), 'low'),
    ]);
    const { outputs } = feed(readings(3.2, 3.4, climbing(800, 60)), state);
    const rows = readingsIn(outputs).map(({ rows: [row] }) => row);
    expect(rows[0]).toMatchObject({ smoothC: rows[0]?.tempC, climbCPerH: null, flags: [] });
    expect(rows.at(-1)?.climbCPerH).not.toBeNull();
    expect(toldBesideStokes(outputs)).toEqual([]);
  });

  it('by mistake, and taken back: it goes on as it was', () => {
    const { state } = feed([
      ...hot,
      pulled(atH(3), 'low'),
      ...readings(3, 3.02, climbing(800, 60)),
      inputOf.log(atH(3.02), { log: 'undo', id: 'pulled-low' }),
    ]);
    const { outputs } = feed(readings(3.02, 3.05, climbing(800, 60)), state);
    const row = readingsIn(outputs).at(-1)?.rows[0];
    expect(Math.abs(Number(row?.climbCPerH) - 60)).toBeLessThan(10);
  });

  it('before the board has said hello', () => {
    const { outputs } = feed([pulled(START_MS - 5000, 'low'), ...hot]);
    expect(readingsIn(outputs).at(-1)?.rows[0]).toMatchObject({ smoothC: null, flags: ['pulled'] });
  });
});

describe('faults of a probe', () => {
  const sound = climbing(900, 60);
  const lowIs = (raw: RawValue | ((hours: number) => RawValue)) => (hours: number) => ({
    ...sound(hours),
    low: typeof raw === 'function' ? raw(hours) : raw,
  });
  /** Each reading counted from the start. */
  const nth = (hours: number): number => Math.round((hours * HOUR_MS) / PERIOD_MS);

  it.each<{ what: string; low: RawValue | ((hours: number) => RawValue); word: RegExp; flag: string }>([
    { what: 'an open couple', low: '!open', word: /circuit is open/, flag: 'open' },
    { what: 'a short', low: '!short', word: /touches/, flag: 'short' },
    { what: 'a value beyond the couple', low: 1500, word: /cannot/, flag: 'range' },
    { what: 'no value', low: null, word: /sends nothing/, flag: '' },
    { what: 'a read-out that has frozen', low: 960, word: /very same/, flag: 'stuck' },
    // A wire that touches now and then.
    {
      what: 'a couple that comes and goes',
      low: (h) => (nth(h) % 3 === 0 ? '!open' : sound(h).low),
      word: /comes and goes/,
      flag: 'open',
    },
    {
      what: 'a couple that jumps about',
      low: (h) => (nth(h) % 5 === 0 ? 200 : sound(h).low),
      word: /jumps about/,
      flag: 'spike',
    },
  ])('$what is told within minutes, and cleared when it reads again', ({ low, word, flag }) => {
    const { state, outputs } = feed([hello(), ...readings(0, 1, sound), ...readings(1, 1.5, lowIs(low))]);
    const [raised] = alertsIn(outputs).filter(({ name }) => name === 'probe-fault');
    expect(raised).toMatchObject({ state: 'raised', probe: 'low' });
    expect(raised?.text).toMatch(/^Probe low: /);
    expect(raised?.text).toMatch(word);
    expect(Number(raised?.at) - atH(1)).toBeLessThan(8 * MINUTE_MS);
    const flags = readingsIn(outputs)
      .slice(-30)
      .flatMap(({ rows }) => rows[0]?.flags ?? []);
    expect([...new Set(flags)]).toEqual(flag === '' ? [] : [flag]);
    const well = feed(readings(1.5, 2, sound), state).outputs;
    expect(toldIn(well).filter((told) => told.includes('probe-fault'))).toHaveLength(1);
    expect(alertsIn(well).find(({ name }) => name === 'probe-fault')?.text).toBe('Probe low reads again.');
  });

  it.each<{ what: string; low: RawValue | ((hours: number) => RawValue) }>([
    { what: 'a single reading that is open', low: (h) => (nth(h) === 400 ? '!open' : sound(h).low) },
    { what: 'a single spike', low: (h) => (nth(h) === 400 ? 20 : sound(h).low) },
    {
      what: 'a reading in a hundred that is not measured',
      low: (h) => (nth(h) % 100 === 0 ? null : sound(h).low),
    },
  ])('$what is no fault', ({ low }) => {
    expect(toldBesideStokes(feed([hello(), ...readings(0, 2, lowIs(low))]).outputs)).toEqual([]);
  });

  it('type B that is too cold to read is no fault', () => {
    const probes = [LOW, { ...HIGH, couple: 'B' as const, form: { kind: 'uv' as const } }];
    // 0.291 mV is 250 °C (IEC 60584-1); the cold junction of 25 °C is next to nothing for type B.
    const inputs = [
      inputOf.hello(START_MS, helloOf(probes, PERIOD_MS)),
      ...readings(0, 1, (hours) => ({ low: rounded(20 + 20 * hours), high: 30 })),
    ];
    const { outputs, state } = feed(inputs);
    const row = readingsIn(outputs).at(-1)?.rows[1];
    expect(row).toMatchObject({ tempC: null, fault: null, note: 'too cold for type B to read', flags: [] });
    expect(toldBesideStokes(outputs)).toEqual([]);
    const hotter = feed([inputOf.reading(atH(1) + PERIOD_MS, { low: 40, high: 400 })], state).outputs;
    expect(readingsIn(hotter)[0]?.rows[1]).toMatchObject({ fault: null, note: null });
    expect(readingsIn(hotter)[0]?.rows[1]?.tempC).toBeGreaterThan(250);
  });

  // Type K in salt and reduction reads low: common practice, no source.
  it.each([
    { tempC: 1149.9, note: null },
    { tempC: 1150, note: 'may read low; check by cone' },
  ])('a type K at $tempC °C is noted: $note', ({ tempC, note }) => {
    const { outputs } = feed([hello(), inputOf.reading(atH(1), { low: tempC, high: 900 })]);
    expect(readingsIn(outputs)[0]?.rows[0]?.note).toBe(note);
  });
});

describe('the most that a couple can read', () => {
  // Ranges of the reference functions: type N to 1300 °C, type K to 1372 °C (IEC 60584-1).
  it.each([
    { couple: 'N' as const, tempC: 1281, raised: true },
    { couple: 'N' as const, tempC: 1279, raised: false },
    { couple: 'K' as const, tempC: 1351, raised: false },
    { couple: 'K' as const, tempC: 1353, raised: true },
  ])('type $couple at $tempC °C is over-heated: $raised', ({ couple, tempC, raised }) => {
    const plan = inputOf.log(START_MS, { log: 'plan', topC: 1400, saltingStartC: null });
    const low = (hours: number) => ({ low: tempC + (Math.round(hours * 360) % 2 === 0 ? 0.2 : -0.2) });
    const begin = inputOf.hello(START_MS, helloOf([probeOf('low', couple)], PERIOD_MS));
    const told = toldIn(feed([begin, plan, ...readings(0, 0.2, low)]).outputs);
    expect(told.map((each) => each.replace(/^\S+ /, ''))).toEqual(raised ? ['over-heat raised low'] : []);
  });
});

describe('two boards', () => {
  it('with a probe of the same name each: the second one bears its board’s name', () => {
    const inputs = [
      inputOf.hello(START_MS, helloOf([LOW], PERIOD_MS, 'front')),
      inputOf.hello(START_MS, helloOf([LOW], PERIOD_MS, 'back')),
      inputOf.reading(atH(0.01), { low: 700 }, false, 'front'),
      inputOf.reading(atH(0.01) + 1, { low: 800 }, false, 'back'),
    ];
    const rows = readingsIn(feed(inputs).outputs).flatMap((reading) => reading.rows);
    expect(rows.map(({ probe, tempC }) => [probe, tempC])).toEqual([
      ['low', 700],
      ['back low', 800],
    ]);
  });
});
