/** The next stoke: learnt from the last cycles, told as a span, and due now once the heat has peaked. */
import { describe, expect, it } from 'vitest';
import type { CoreInput, StokingFigures } from '../../collector/core/inputs.ts';
import type { FiringState } from '../../collector/core/state.ts';
import { newFiring } from '../../collector/core/state.ts';
import {
  feed,
  helloOf,
  inputOf,
  MINUTE_MS,
  planOf,
  probeOf,
  SECOND_MS,
  START_MS,
  toldIn,
} from '../support/kiln.ts';

const EVERY_S = 10;
/** The last stoke is at this minute; then nobody stokes any more. */
const STOKES = 8;
const INTERVAL_MIN = 9;

/** A stoke each nine minutes from the first on: a dip, a rise to a peak 4 min after it, and down again. */
function heatAt(minute: number): number {
  const since =
    minute >= STOKES * INTERVAL_MIN ? minute - (STOKES - 1) * INTERVAL_MIN : minute % INTERVAL_MIN;
  const door = -15 * Math.min(1, since / 0.25) * Math.exp(-since / 1.2);
  return 900 + 0.8 * minute + door + 25 * (since / 4) ** 2 * Math.exp(2 * (1 - since / 4));
}

const at = (minute: number): number => START_MS + Math.round(minute * MINUTE_MS);
const begin = [
  inputOf.hello(START_MS, helloOf([probeOf('low')], EVERY_S * SECOND_MS)),
  inputOf.reading(START_MS + 1, { low: 20 }),
];

function readings(fromMin: number, toMin: number): CoreInput[] {
  const inputs: CoreInput[] = [];
  for (let minute = fromMin; minute < toMin; minute += EVERY_S / 60)
    inputs.push(inputOf.reading(at(minute), { low: Math.round(heatAt(minute) * 10) / 10 }));
  return inputs;
}

/** Stokes by turns through one hole and the other, logged where `logs`. */
function inputsTo(toMin: number, logs: boolean): CoreInput[] {
  const stokes = Array.from({ length: STOKES }, (_, i) => i * INTERVAL_MIN)
    .filter((minute) => minute > 0 && minute < toMin)
    .map((minute, i) =>
      inputOf.log(at(minute) + 1, { log: 'stoke', hole: i % 2 === 0 ? 'left' : 'right', id: `s${i}` }),
    );
  return [...begin, ...[...readings(0.1, toMin), ...(logs ? stokes : [])].sort((a, b) => a.at - b.at)];
}

function toldAt(minute: number, logs: boolean): { stoking: StokingFigures | undefined; state: FiringState } {
  const { outputs, state } = feed(inputsTo(minute, logs));
  const told = outputs.flatMap((output) => (output.kind === 'stoking' ? [output.stoking] : []));
  return { stoking: told.at(-1), state };
}

const LAST = (STOKES - 1) * INTERVAL_MIN;

describe.each([{ logs: true }, { logs: false }])('the next stoke, logged: $logs', ({ logs }) => {
  it('is due when the heat is used to peak, about four minutes after the last', () => {
    const next = toldAt(LAST + 2.1, logs).stoking?.next;
    expect(next?.peaked).toBe(false);
    expect(next?.dueInMs.low).toBeLessThan(next?.dueInMs.mid ?? 0);
    expect(next?.dueInMs.high).toBeGreaterThan(next?.dueInMs.mid ?? 0);
    expect(Math.abs(Number(next?.dueInMs.mid) / MINUTE_MS - 2)).toBeLessThan(1.2);
  });

  it('is due now, and told at once, when the heat has peaked', () => {
    const { outputs } = feed(inputsTo(LAST + 7, logs));
    const peaks = outputs.flatMap((output) =>
      output.kind === 'stoking' && output.stoking.next?.peaked ? [output.stoking] : [],
    );
    // Where nobody logs, a stoke is known only once the heat rises again.
    const first = peaks.find((each) => each.at > at(LAST + 2));
    expect(Math.abs((Number(first?.at) - at(LAST)) / MINUTE_MS - 4)).toBeLessThan(1.5);
    expect(first?.next?.dueInMs).toEqual({ low: 0, mid: 0, high: 0 });
    const raised = toldIn(outputs).filter((told) => told.includes('stoke-due raised'));
    expect(Number(raised.at(-1)?.split(' ')[0])).toBeCloseTo((Number(first?.at) - START_MS) / MINUTE_MS, 1);
  });

  it('is told with its hole where they go by turns, and only where that is logged', () => {
    // The last of the seven stokes went into the left hole.
    expect(toldAt(LAST + 2.1, logs).stoking?.next?.hole).toBe(logs ? 'right' : null);
  });
});

it('nothing is said of it before there is a rhythm, nor once it is lost, nor in a closed kiln', () => {
  expect(toldAt(12, true).stoking?.next).toBeNull();
  const { state } = toldAt(LAST + 4, true);
  const later = (minute: number, extra: CoreInput[] = []) => {
    const still = [inputOf.reading(at(minute), { low: 900 })];
    const { outputs } = feed([...extra, ...still], structuredClone(state));
    return outputs.flatMap((output) => (output.kind === 'stoking' ? [output.stoking] : [])).at(-1)?.next;
  };
  expect(later(LAST + 40)).toBeNull();
  expect(later(LAST + 6, [inputOf.log(at(LAST + 5), { log: 'clam-up' })])).toBeNull();
});

it('without a couple it goes by the clock, where stokes are logged', () => {
  const start = newFiring(planOf());
  const stokes = [0, 10, 20, 30, 40].map((minute) =>
    inputOf.log(at(minute + 1), { log: 'stoke', hole: 'left', id: `s${minute}` }),
  );
  const { outputs } = feed(
    [inputOf.log(at(0.5), { log: 'light-up' }), ...stokes, inputOf.tick(at(47))],
    start,
  );
  const last = outputs.flatMap((output) => (output.kind === 'stoking' ? [output.stoking] : [])).at(-1);
  // Ten minutes each: the next one is due at 51 min.
  expect(last?.next).toEqual({
    dueInMs: { low: 3.5 * MINUTE_MS, mid: 4 * MINUTE_MS, high: 4.5 * MINUTE_MS },
    peaked: false,
    hole: null,
  });
});
