import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { bell, hexWord, openRandom, uniform } from '../../collector/demo-kiln/random.ts';

describe('the seeded random numbers', () => {
  // Marsaglia, Xorshift RNGs, J. Stat. Soft. 8 (2003): y = 2463534242, shifts 13, 17, 5. The outputs are those that
  // implementations of it print; written down from memory.
  it('are those of the published generator', () => {
    const random = { word: 2463534242 };
    const outputs = [hexWord(random), hexWord(random), hexWord(random)].map((hex) =>
      Number.parseInt(hex, 16),
    );
    expect(outputs).toEqual([723471715, 2497366906, 2064144800]);
  });

  it('are the same for the same seed and purpose, and others for another', () => {
    fc.assert(
      fc.property(fc.integer(), fc.integer(), (seed, other) => {
        const draw = (from: number, purpose: string) => hexWord(openRandom(from, purpose));
        expect(draw(seed, 'wood')).toBe(draw(seed, 'wood'));
        expect(draw(seed, 'wood')).not.toBe(draw(seed, 'noise'));
        fc.pre(seed !== other);
        expect(draw(seed, 'wood')).not.toBe(draw(other, 'wood'));
      }),
    );
  });

  it('spread evenly, and in a bell of standard deviation 1', () => {
    const random = openRandom(7, 'spread');
    const even = Array.from({ length: 20_000 }, () => uniform(random));
    const belled = Array.from({ length: 20_000 }, () => bell(random));
    const mean = (values: number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
    expect(Math.min(...even)).toBeGreaterThanOrEqual(0);
    expect(Math.max(...even)).toBeLessThan(1);
    // Five standard errors: 5 × 0.2887 / √20000 and 5 / √20000.
    expect(Math.abs(mean(even) - 0.5)).toBeLessThan(0.0102);
    expect(Math.abs(mean(belled))).toBeLessThan(0.0354);
    // The variance of a bell's squares is 2: five standard errors are 5 × √2 / √20000.
    expect(Math.abs(mean(belled.map((value) => value * value)) - 1)).toBeLessThan(0.05);
  });
});
