import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { randomFrom } from '../lines/fake-board.ts';
import { type Board, startBoard } from './emulator/board.ts';
import { compileBoard, hasAvrGcc, SKETCH } from './toolchain.ts';

/** Cold junction and two probes, as in board-config.h. */
const CHANNELS = 3;
const PERIOD_MS = 1000;
const [CLEAR, PUSH, SEEK, HELD, KEEPS] = [1, 2, 3, 4, 5];
const [HERE, NOT_YET, GONE] = [0, 1, 2];
const [MEASURED, NOTHING, OPEN] = [0, 1, 2];
const BYTES_A_VALUE = 5;

interface Kept {
  uptimeMs: number;
  /** Code and state of each channel; the code is 0 where nothing was measured. */
  values: { code: number; state: number }[];
}

/** The ring, behind the program that ring-bench.cpp makes of it. */
function bench() {
  const firmware = compileBoard({
    sources: [`${SKETCH}/ring.cpp`, new URL('./ring-bench.cpp', import.meta.url).pathname],
  });
  const board: Board = startBoard({ firmware, chips: new Map(), random: randomFrom(1) });
  board.runToFunction('main');
  const call = (command: number, argument = 0) => {
    board.write('argument', argument);
    board.write('command', command);
    while (board.read('command') !== 0) board.runTo(board.ms + 0.02);
    return board.read('answer');
  };
  const start = firmware.address('reading');
  const view = () => new DataView(board.memory.buffer, start, 4 + CHANNELS * BYTES_A_VALUE);
  return {
    call,
    push: ({ uptimeMs, values }: Kept) => {
      view().setUint32(0, uptimeMs, true);
      values.forEach(({ code, state }, i) => {
        view().setInt32(4 + i * BYTES_A_VALUE, code, true);
        view().setUint8(8 + i * BYTES_A_VALUE, state);
      });
      call(PUSH);
    },
    seek: (seq: number): Kept | null => {
      let found = call(SEEK, seq);
      while (found === NOT_YET) found = call(SEEK, seq);
      if (found === GONE) return null;
      expect(found).toBe(HERE);
      const values = Array.from({ length: CHANNELS }, (_, i) => {
        const state = view().getUint8(8 + i * BYTES_A_VALUE);
        return { code: state === MEASURED ? view().getInt32(4 + i * BYTES_A_VALUE, true) : 0, state };
      });
      return { uptimeMs: view().getUint32(0, true), values };
    },
  };
}

const code = fc.oneof(
  fc.integer({ min: -(2 ** 19), max: 2 ** 19 - 1 }),
  fc.integer({ min: -40, max: 40 }),
  fc.constantFrom(-(2 ** 19), 2 ** 19 - 1, 0),
);
const value = fc.oneof(
  { weight: 5, arbitrary: code.map((code) => ({ code, state: MEASURED })) },
  { weight: 1, arbitrary: fc.constantFrom(NOTHING, OPEN, 3, 4).map((state) => ({ code: 0, state })) },
);
const reading = fc.record({
  lateMs: fc.oneof({ weight: 9, arbitrary: fc.constant(0) }, fc.integer({ min: 0, max: 2 ** 31 })),
  values: fc.array(value, { minLength: CHANNELS, maxLength: CHANNELS }),
});

describe.skipIf(!hasAvrGcc())('the ring of past readings (needs avr-gcc)', { timeout: 240_000 }, () => {
  test('gives back what was put in, whatever it was, or says that it is gone; seqs and uptimes roll over', () => {
    const ring = bench();
    // Empty, it promises what it will hold whatever comes.
    const atLeast = ring.call(KEEPS);
    expect(atLeast).toBeGreaterThan(50);
    fc.assert(
      fc.property(
        fc.array(reading, { minLength: 1, maxLength: 120 }),
        fc.constantFrom(0, 2 ** 32 - 20, 2 ** 31 - 20),
        (readings, firstSeq) => {
          ring.call(CLEAR, firstSeq);
          let uptimeMs = 2 ** 32 - 40_000;
          const kept: Kept[] = readings.map(({ lateMs, values }) => {
            uptimeMs = (uptimeMs + PERIOD_MS + lateMs) >>> 0;
            return { uptimeMs, values };
          });
          for (const each of kept) ring.push(each);
          const held = ring.call(HELD);
          expect(held).toBeLessThanOrEqual(kept.length);
          expect(held).toBeGreaterThanOrEqual(Math.min(kept.length, atLeast));
          kept.forEach((each, place) => {
            const there = place >= kept.length - held;
            expect(ring.seek((firstSeq + place) >>> 0)).toEqual(there ? each : null);
          });
          expect(ring.seek((firstSeq + kept.length) >>> 0)).toBeNull();
          expect(ring.seek((firstSeq - 1) >>> 0)).toBeNull();
        },
      ),
      { numRuns: 25 },
    );
  });

  test('nothing but jumps from end to end leaves as many as are promised', () => {
    const ring = bench();
    const promised = ring.call(KEEPS);
    ring.call(CLEAR, 0);
    for (let n = 0; n < 300; n += 1) {
      const values = Array.from({ length: CHANNELS }, (_, i) => ({
        code: (n + i) % 2 === 0 ? 2 ** 19 - 1 : -(2 ** 19),
        state: MEASURED,
      }));
      ring.push({ uptimeMs: (n * 2 ** 30) >>> 0, values });
    }
    expect(ring.call(HELD)).toBeGreaterThanOrEqual(promised);
    expect(ring.call(KEEPS)).toBeLessThanOrEqual(ring.call(HELD));
  });

  test('in a steady kiln it holds far more; a search forward or back finds the same', () => {
    const ring = bench();
    ring.call(CLEAR, 0);
    const random = randomFrom(7);
    const kept = Array.from({ length: 1500 }, (_, n): Kept => {
      const near = (steps: number, spread: number) =>
        Math.round(n * steps + spread * (random() + random() - 1));
      const codes = [1600 + near(0.01, 1), 3200 + near(0.12, 1), 100_000 + near(4, 12)];
      return { uptimeMs: n * PERIOD_MS, values: codes.map((code) => ({ code, state: MEASURED })) };
    });
    for (const each of kept.slice(0, 300)) ring.push(each);
    // Nothing has been dropped yet: all that is there can be asked for.
    expect(ring.call(KEEPS)).toBe(300);
    let promised = 300;
    kept.slice(300).forEach((each, n) => {
      ring.push(each);
      // What was promised four readings ago is there.
      if (n % 4 !== 3) return;
      expect(ring.call(HELD)).toBeGreaterThanOrEqual(promised);
      promised = ring.call(KEEPS);
    });
    const held = ring.call(HELD);
    expect(held).toBeGreaterThan(600);
    expect(held - promised).toBeLessThan(10);
    for (let n = 0; n < 60; n += 1) {
      const seq = 1500 - held + Math.floor(random() * held);
      expect(ring.seek(seq)).toEqual(kept[seq]);
    }
  });
});
