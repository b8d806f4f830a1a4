/**
 * Page's cumulative sum against published average run lengths, on unit normal data. One-sided, reference value k = 0.5.
 * Montgomery, Introduction to Statistical Quality Control, and Hawkins & Olwell, Cumulative Sum Charts and Charting for
 * Quality Improvement, 1998: two-sided 168 (h = 4) and 465 (h = 5), so one-sided 336 and 930; with a shift of one
 * standard deviation 8.38 and 10.4, of two 3.34 and 4.01. All values from memory.
 */
import { describe, expect, it } from 'vitest';
import { pageSum } from '../../collector/core/stillness.ts';

/** Mean 0, standard deviation 1: Lehmer's generator of Park & Miller, CACM 31, 1988, and the transform of Box & Muller. */
function normals(seed: number): () => number {
  let state = seed;
  const uniform = () => {
    state = (state * 48271) % 2147483647;
    return state / 2147483647;
  };
  return () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
}

function meanRun(shift: number, h: number, runs: number): number {
  const normal = normals(1000 * h + Math.round(10 * shift) + 1);
  let steps = 0;
  for (let run = 0; run < runs; run++) {
    let sum = 0;
    do {
      sum = pageSum(sum, normal() + shift - 0.5);
      steps += 1;
    } while (sum <= h);
  }
  return steps / runs;
}

describe("Page's sum", () => {
  it.each([
    { shift: 0, h: 4, published: 336, runs: 4000 },
    { shift: 0, h: 5, published: 930, runs: 2500 },
    { shift: 1, h: 4, published: 8.38, runs: 20_000 },
    { shift: 1, h: 5, published: 10.4, runs: 20_000 },
    { shift: 2, h: 4, published: 3.34, runs: 20_000 },
    { shift: 2, h: 5, published: 4.01, runs: 20_000 },
  ])('shift $shift, h = $h: mean run $published', ({ shift, h, published, runs }) => {
    // A run in control is about as long as its deviation is wide: three errors of the mean.
    const off = shift === 0 ? 3 / Math.sqrt(runs) : 0.01;
    expect(Math.abs(meanRun(shift, h, runs) / published - 1)).toBeLessThan(off);
  });
});
