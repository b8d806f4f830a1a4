/** Arbitrary lines of both directions, for property tests. */
import fc from 'fast-check';
import type { BoardLine, CollectorLine } from '../../protocol/board-lines.ts';
import { COUPLE_TYPES, RAW_FAULTS } from '../../protocol/probes.ts';

const counter = fc.integer({ min: 0, max: 0xffff_ffff });
/** A number that the line's grammar can say to the last digit. */
const number = fc
  .tuple(fc.integer({ min: -9_999_999, max: 9_999_999 }), fc.integer({ min: 0, max: 6 }))
  .map(([digits, decimals]) => Number(`${digits}e-${decimals}`) + 0);
const word = fc.string({ unit: fc.constantFrom(...'abcxyz0189-'), minLength: 1, maxLength: 16 });
const hex8 = fc.string({ unit: fc.constantFrom(...'0123456789ABCDEF'), minLength: 8, maxLength: 8 });
const value = fc.oneof(
  { weight: 4, arbitrary: number },
  { weight: 1, arbitrary: fc.constantFrom(...RAW_FAULTS, null) },
);

const form = fc.oneof(
  fc.constantFrom({ kind: 'uv' as const }, { kind: 'deg' as const }),
  fc.integer({ min: 1, max: 99_999 }).map((n) => ({ kind: 'lin' as const, uvPerC: n / 1000 })),
);

export const hello = fc.record({
  board: word,
  boot: hex8,
  periodMs: fc.integer({ min: 1, max: 0xffff_ffff }),
  keeps: counter,
  probes: fc.uniqueArray(fc.record({ name: word, couple: fc.constantFrom(...COUPLE_TYPES), form }), {
    minLength: 1,
    maxLength: 4,
    selector: ({ name }) => name,
  }),
});

export const boardLine: fc.Arbitrary<BoardLine> = fc.oneof(
  fc.record({ kind: fc.constant('hello' as const), hello }),
  fc.record({
    kind: fc.constant('reading' as const),
    seq: counter,
    uptimeMs: counter,
    coldJunctionC: fc.option(number),
    values: fc.array(value, { minLength: 1, maxLength: 8 }),
  }),
  fc.record({
    kind: fc.constant('button' as const),
    seq: counter,
    uptimeMs: counter,
    button: fc.integer({ min: 1, max: 8 }),
  }),
  fc.record({ kind: fc.constant('missing' as const), from: counter, to: counter }),
);

export const collectorLine: fc.Arbitrary<CollectorLine> = fc.oneof(
  fc.constant({ kind: 'hello?' as const }),
  fc
    .tuple(counter, fc.integer({ min: 0, max: 199 }))
    .map(([from, more]) => ({ kind: 'give' as const, from, to: (from + more) >>> 0 })),
  fc.record({
    kind: fc.constant('lamp' as const),
    level: fc.constantFrom(0 as const, 1 as const, 2 as const),
  }),
);
