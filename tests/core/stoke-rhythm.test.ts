/** How often each hole is stoked, by what was logged for it alone. */
import { expect, it } from 'vitest';
import { rhythmByHole } from '../../collector/core/stoke-rhythm.ts';

const MINUTE = 60_000;
const stokes = (hole: 'left' | 'right', minutes: number[]) =>
  minutes.map((minute) => ({ at: minute * MINUTE, hole }));

it('is the middle of the last intervals of each hole, in whatever order they come', () => {
  const rhythm = rhythmByHole([...stokes('right', [30, 10, 20, 41]), ...stokes('left', [0, 8, 16, 24, 60])]);
  expect(rhythm.left).toEqual({ lastAt: 60 * MINUTE, everyMs: 8 * MINUTE });
  expect(rhythm.right).toEqual({ lastAt: 41 * MINUTE, everyMs: 10 * MINUTE });
});

it('is not told of too few, nor of a hole that was never stoked', () => {
  expect(rhythmByHole(stokes('left', [0, 8, 16]))).toEqual({
    left: { lastAt: 16 * MINUTE, everyMs: null },
    right: { lastAt: null, everyMs: null },
  });
});

it('forgets how it was long ago', () => {
  const slow = Array.from({ length: 20 }, (_, i) => i * 30);
  const fast = Array.from({ length: 6 }, (_, i) => 570 + (i + 1) * 6);
  expect(rhythmByHole(stokes('left', [...slow, ...fast])).left.everyMs).toBe(6 * MINUTE);
});
