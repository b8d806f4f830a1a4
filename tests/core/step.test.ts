/** The reducer: the same inputs give the same answers, however they are cut, and late readings tell nothing of the past. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { CoreInput } from '../../collector/core/inputs.ts';
import { newFiring } from '../../collector/core/state.ts';
import type { RawValue } from '../../protocol/probes.ts';
import {
  alertsIn,
  feed,
  HOUR_MS,
  inputOf,
  MINUTE_MS,
  planOf,
  readingsIn,
  START_MS,
  toldIn,
} from '../support/kiln.ts';
import { climbing, hello, readings, ripple, rounded } from './two-probes.ts';

describe('the same inputs give the same answers', () => {
  const value = fc.oneof(
    { weight: 8, arbitrary: fc.double({ min: 0, max: 1300, noNaN: true }) },
    { weight: 1, arbitrary: fc.constantFrom<RawValue>('!open', '!short', '!range', null) },
  );
  const entry = fc.oneof(
    fc.constantFrom(
      { log: 'light-up' },
      { log: 'end-salt' },
      { log: 'clam-up' },
      { log: 'unbricked' },
      { log: 'hold', on: true },
      { log: 'hold', on: false },
      { log: 'draw' },
      { log: 'salt', hole: 'left', g: 4000 },
      { log: 'stoke', hole: 'left' },
      { log: 'pulled', probe: 'low' },
      { log: 'put-back', probe: 'low' },
      { log: 'plan', guide: 'high', saltingStartCone: '6' },
      { log: 'plan', offsets: [{ probe: 'low', offsetC: 12 }] },
    ),
    fc.integer({ min: 0, max: 40 }).map((n) => ({ log: 'undo', id: `e${n}` })),
  );
  type Made =
    | { kind: 'reading'; stepMs: number; low: RawValue; high: RawValue; late: boolean; backMs: number }
    | { kind: 'log'; stepMs: number; entry: Record<string, unknown> }
    | { kind: 'tick'; stepMs: number };
  const stepMs = fc.oneof(
    { weight: 4, arbitrary: fc.integer({ min: 0, max: 15_000 }) },
    { weight: 1, arbitrary: fc.integer({ min: 0, max: 10 * MINUTE_MS }) },
  );
  const made: fc.Arbitrary<Made> = fc.oneof(
    {
      weight: 6,
      arbitrary: fc.record({
        kind: fc.constant('reading' as const),
        stepMs,
        low: value,
        high: value,
        late: fc.boolean(),
        backMs: fc.integer({ min: 1, max: 3 * HOUR_MS }),
      }),
    },
    { weight: 2, arbitrary: fc.record({ kind: fc.constant('log' as const), stepMs, entry }) },
    { weight: 1, arbitrary: fc.record({ kind: fc.constant('tick' as const), stepMs }) },
  );
  const firing = fc.array(made, { minLength: 1, maxLength: 40 }).map((all) => {
    let at = START_MS;
    const inputs = all.map((each, i): CoreInput => {
      at += each.stepMs;
      if (each.kind === 'tick') return inputOf.tick(at);
      if (each.kind === 'log')
        return inputOf.log(at, each.entry.log === 'undo' ? each.entry : { id: `e${i}`, ...each.entry });
      const { low, high, late, backMs } = each;
      return inputOf.reading(late ? at - backMs : at, { low, high }, late);
    });
    return [hello(), ...inputs];
  });

  it('fed twice: the same outputs and the same state', () => {
    fc.assert(
      fc.property(firing, (inputs) => {
        const [one, other] = [feed(inputs), feed(structuredClone(inputs))];
        expect(other.outputs).toEqual(one.outputs);
        expect(other.state).toEqual(one.state);
      }),
      { numRuns: 30 },
    );
  });

  it('fed in one go, or cut anywhere, kept, and gone on with', () => {
    fc.assert(
      fc.property(firing, fc.nat(), (inputs, place) => {
        const cut = place % inputs.length;
        const whole = feed(inputs);
        const first = feed(inputs.slice(0, cut));
        const rest = feed(inputs.slice(cut), structuredClone(first.state));
        expect([...first.outputs, ...rest.outputs]).toEqual(whole.outputs);
        expect(rest.state).toEqual(whole.state);
      }),
      { numRuns: 30 },
    );
  });

  it('ticks that say what the time is anyway change nothing', () => {
    fc.assert(
      fc.property(firing, (inputs) => {
        let now = START_MS;
        const ticked = inputs.flatMap((input) => {
          const late = input.kind === 'reading' && input.late;
          // Not before a late reading: it is worked in before the next look, whenever that is.
          const ticks = late ? [] : [inputOf.tick(Math.floor((now + input.at) / 2)), inputOf.tick(input.at)];
          if (!late) now = input.at;
          return [...ticks, input];
        });
        const [plain, other] = [feed(inputs), feed(ticked)];
        expect(other.state).toEqual(plain.state);
        expect(other.outputs).toEqual(plain.outputs);
      }),
      { numRuns: 30 },
    );
  });

  it('no alert is ever told of a time that is over', () => {
    fc.assert(
      fc.property(firing, (inputs) => {
        let state = newFiring(planOf());
        let now = START_MS;
        for (const input of inputs) {
          const { outputs, state: next } = feed([input], state);
          state = next;
          const late = input.kind === 'reading' && input.late;
          for (const { at } of alertsIn(outputs)) {
            expect(late).toBe(false);
            expect(at).toBeGreaterThan(now - 1000);
            expect(at).toBeLessThanOrEqual(input.at);
          }
          if (!late) now = Math.max(now, input.at);
        }
      }),
      { numRuns: 30 },
    );
  });
});

describe('late readings', () => {
  /** From 3 h on it loses heat; the readings up to 3.6 h come late. */
  const values = (hours: number) => {
    const tempC = 900 - 60 * (hours - 3) + ripple(hours);
    return { low: rounded(tempC), high: rounded(tempC + 8) };
  };
  const before = [hello(), ...readings(0, 3, climbing(720, 60))];
  const missed = readings(3, 3.6, values).map((input) => ({ ...input, late: true }) as CoreInput);
  const after = readings(3.6, 5, values);

  it('raise nothing about the past, and are archived with their temperature alone', () => {
    const [firstAfter, ...rest] = after;
    const { state } = feed([...before, firstAfter as CoreInput]);
    const { outputs } = feed(missed, state);
    expect(alertsIn(outputs)).toEqual([]);
    const rows = readingsIn(outputs).map(({ rows: [row], kiln }) => ({ ...row, kiln }));
    expect(rows).toHaveLength(missed.length);
    expect(rows[0]).toMatchObject({ probe: 'low', cone: null, smoothC: null, climbCPerH: null, fault: null });
    expect(rows[0]?.tempC).toBeGreaterThan(700);
    expect(rows[0]?.kiln).toEqual({ smoothC: null, climbCPerH: null, climbSdCPerH: null });
    // What they tell of now is told now: the kiln has lost heat.
    const later = feed(rest, state).outputs;
    expect(alertsIn(later).every(({ at }) => at >= START_MS + 3.6 * HOUR_MS)).toBe(true);
    expect(toldIn(later).some((told) => told.includes('falling raised'))).toBe(true);
  });

  it('leave the kiln as it would be, had they come in time', () => {
    const inTime = feed([...before, ...readings(3, 3.6, values), ...after]).state;
    const [firstAfter, ...rest] = after;
    const late = feed([...before, firstAfter as CoreInput, ...missed, ...rest]).state;
    for (const [i, probe] of late.probes.entries()) {
      expect(probe.track.line).toEqual(inTime.probes[i]?.track.line);
    }
  });

  it('are worked in at the next look, though nothing else comes', () => {
    const [firstAfter] = after as [CoreInput, ...CoreInput[]];
    const inTime = feed([...before, ...readings(3, 3.6, values), firstAfter]).state;
    const late = feed([...before, firstAfter, ...missed, inputOf.tick(firstAfter.at + 1000)]).state;
    for (const [i, probe] of late.probes.entries()) {
      expect(probe.track.line).toEqual(inTime.probes[i]?.track.line);
    }
  });

  it('that are older than 2 h go to the archive only', () => {
    const { state } = feed([...before, ...after]);
    const old = readings(2, 2.5, () => ({ low: 20, high: 20 })).map(
      (input) => ({ ...input, late: true }) as CoreInput,
    );
    const lines = structuredClone(state.probes.map(({ track }) => track.line));
    const { outputs } = feed([...old, inputOf.tick(START_MS + 5 * HOUR_MS)], state);
    expect(readingsIn(outputs)).toHaveLength(old.length);
    expect(state.probes.map(({ track }) => track.line)).toEqual(lines);
  });
});
