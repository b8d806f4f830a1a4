/** The mean of all lines below late points, held against what it means: the lines are counted one by one on a grid. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { addToHull, type Hull, highestBelow, meanLine } from '../../collector/lines/late-line.ts';
import { randomFrom } from './fake-board.ts';

function latePoints(seed: number, count: number, slope: number, delay: number): [number, number][] {
  const random = randomFrom(seed);
  let x = 0;
  return Array.from({ length: count }, () => {
    x += 0.1 + random();
    return [x, 3 + slope * x - Math.log(1 - random()) * delay];
  });
}

function hullOf(points: [number, number][]): Hull {
  const hull: Hull = { x: [], y: [] };
  for (const [x, y] of points) addToHull(hull, x, y);
  return hull;
}

const meanOf = (values: number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;

/** Sums up every line of a fine grid of slopes and heights that lies below all points. */
function byCounting(points: [number, number][], delay: number, { least, most }: typeof SLOPES) {
  const meanX = meanOf(points.map(([x]) => x));
  const meanY = meanOf(points.map(([, y]) => y));
  const n = points.length;
  const STEPS = 2000;
  const DEPTHS = 50;
  // The likelihood is the sum of all distances; taken against the best line, so that it does not vanish.
  const highest = (slope: number) => Math.min(...points.map(([x, y]) => y - slope * (x - meanX)));
  const slopes = Array.from({ length: STEPS }, (_, i) => least + ((most - least) * (i + 0.5)) / STEPS);
  const tops = slopes.map(highest);
  const best = Math.max(...tops);
  let [sum, slope, height] = [0, 0, 0];
  slopes.forEach((someSlope, i) => {
    for (let depth = 0; depth < DEPTHS; depth += 1) {
      const someHeight = (tops[i] ?? 0) - ((depth + 0.5) * 15 * delay) / (n * DEPTHS);
      const distances = n * (meanY - someHeight) - n * (meanY - best);
      const weight = Math.exp(-distances / delay);
      sum += weight;
      slope += weight * someSlope;
      height += weight * someHeight;
    }
  });
  return { slope: slope / sum, height: height / sum };
}

const SLOPES = { least: -1, most: 1 };

test.each([
  { count: 3, slope: 0, madeWith: 0.2, delay: 0.2 },
  { count: 8, slope: 0.3, madeWith: 1, delay: 1 },
  { count: 8, slope: 0.3, madeWith: 0.2, delay: 0.2 },
  { count: 60, slope: -0.5, madeWith: 2, delay: 2 },
  // Hardly a slope that is not as good as another.
  { count: 3, slope: 0, madeWith: 0.2, delay: 50 },
])('$count points, slope $slope, delay $delay: as counted on a grid', ({ count, slope, madeWith, delay }) => {
  for (let seed = 1; seed <= 4; seed += 1) {
    const points = latePoints(seed, count, slope, madeWith);
    const meanX = meanOf(points.map(([x]) => x));
    const found = meanLine(hullOf(points), { points: count, meanX, delay }, SLOPES);
    const counted = byCounting(points, delay, SLOPES);
    expect(Math.abs(found.slope - counted.slope)).toBeLessThan(2e-3);
    expect(Math.abs(found.height - counted.height)).toBeLessThan(0.02 * delay + 2e-3);
  }
});

test('whatever the points, it lies below all of them and has a slope that it may have', () => {
  fc.assert(
    fc.property(
      fc.array(
        fc.tuple(
          fc.double({ min: 1e-3, max: 1e6, noNaN: true }),
          fc.double({ min: -1e6, max: 1e6, noNaN: true }),
        ),
        {
          minLength: 2,
          maxLength: 40,
        },
      ),
      fc.double({ min: 1e-3, max: 1e6, noNaN: true }),
      (steps, delay) => {
        let x = 0;
        const points = steps.map(([step, y]): [number, number] => {
          x += step;
          return [x, y];
        });
        const meanX = meanOf(points.map(([px]) => px));
        const hull = hullOf(points);
        const { slope, height } = meanLine(hull, { points: points.length, meanX, delay }, SLOPES);
        expect(slope).toBeGreaterThanOrEqual(SLOPES.least);
        expect(slope).toBeLessThanOrEqual(SLOPES.most);
        expect(height).toBeLessThanOrEqual(highestBelow(hull, slope) + slope * meanX + 1e-5 * (1 + x));
      },
    ),
  );
});
