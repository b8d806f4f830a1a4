/**
 * The fit of the cooling curve, held against certified values and a reference library. NIST Statistical Reference
 * Datasets, nonlinear regression: Misra1a and BoxBOD, data and certified values from memory.
 */
import { levenbergMarquardt } from 'ml-levenberg-marquardt';
import { describe, expect, test } from 'vitest';
import { coolCourse, courseTempC } from '../../collector/core/forecast/cool-model.ts';
import { leastSquares } from '../../collector/core/forecast/least-squares.ts';

const MISRA_Y = [
  10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.4, 75.47, 81.78,
];
const MISRA_X = [77.6, 114.9, 141.1, 190.8, 239.9, 289, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760];

describe('NIST Misra1a, y = b1·(1 - exp(-b2·x))', () => {
  // Both of the starts that NIST gives; the second parameter in ten-thousandths, for steps of its own size.
  test.each([
    [500, 1],
    [250, 5],
  ])('from b1 = %f and b2 = %f / 10000', (b1, b2) => {
    const fit = leastSquares(
      ([a = 0, b = 0]) => MISRA_X.map((x, i) => a * (1 - Math.exp((-b / 1e4) * x)) - (MISRA_Y[i] ?? 0)),
      [b1, b2],
    );
    expect(fit?.params[0]).toBeCloseTo(238.94212918, 4);
    expect((fit?.params[1] ?? 0) / 1e4).toBeCloseTo(5.5015643181e-4, 10);
    expect(fit?.sumSquares).toBeCloseTo(0.12455138894, 8);
    const residualSd = Math.sqrt((fit?.sumSquares ?? 0) / 12);
    expect(residualSd * Math.sqrt(fit?.covariance[0]?.[0] ?? 0)).toBeCloseTo(2.7070075241, 3);
    expect((residualSd * Math.sqrt(fit?.covariance[1]?.[1] ?? 0)) / 1e4).toBeCloseTo(7.2668688436e-6, 9);
  });
});

describe('NIST BoxBOD, of the higher level of difficulty: the same function', () => {
  const xs = [1, 2, 3, 5, 7, 10];
  const ys = [109, 149, 149, 191, 213, 224];
  // From the second of its starts. The first one, far off, leads into a plain without slope.
  test('from b1 = 100 and b2 = 0.75', () => {
    const fit = leastSquares(
      ([a = 0, b = 0]) => xs.map((x, i) => a * (1 - Math.exp(-b * x)) - (ys[i] ?? 0)),
      [100, 0.75],
    );
    expect(fit?.params[0]).toBeCloseTo(213.80940889, 4);
    expect(fit?.params[1]).toBeCloseTo(0.54723748542, 6);
    expect(fit?.sumSquares).toBeCloseTo(1168.0088766, 5);
  });
});

describe('a cooling curve', () => {
  // Readings of an invented kiln: 90 hours, and a wobble of some degrees that no curve follows.
  const hours = Array.from({ length: 61 }, (_, i) => i * 1.5);
  const readC = hours.map(
    (hour) => 15 + 620 * Math.exp(-hour / 8) + 590 * Math.exp(-hour / 61) + 3 * Math.sin(hour * 1.7),
  );

  test('of two exponentials is fitted as the reference library fits it', () => {
    const curve = (p: readonly number[]) => (hour: number) =>
      (p[0] ?? 0) * Math.exp(-hour / (p[1] ?? 1)) + (p[2] ?? 0) * Math.exp(-hour / (p[3] ?? 1)) + 15;
    const start = [500, 5, 500, 50];
    const own = leastSquares((p) => hours.map((hour, i) => curve(p)(hour) - (readC[i] ?? 0)), start);
    const library = levenbergMarquardt({ x: hours, y: readC }, curve, {
      initialValues: start,
      damping: 1e-2,
      gradientDifference: 1e-6,
      maxIterations: 400,
      errorTolerance: 1e-12,
    });
    own?.params.forEach((param, i) => {
      expect(param / (library.parameterValues[i] ?? Number.NaN)).toBeCloseTo(1, 4);
    });
    expect(own?.sumSquares).toBeLessThanOrEqual(library.parameterError * (1 + 1e-6));
  });

  test("of the kiln's own model is fitted as the reference library fits it", () => {
    // What the readings can tell: how fast heat goes through and out, and how much the outer wall holds.
    const tempAt = ([through = 0, outward = 0, outerHolds = 0]: readonly number[]) => {
      const params = [Math.log(0.02), Math.log(0.25), through, outward, Math.log(0.6), outerHolds];
      const course = coolCourse([...params, 0.8, 0.4, 1225, 15], 91);
      return (hour: number) => courseTempC(course, hour);
    };
    const made = tempAt([Math.log(0.13), Math.log(0.045), Math.log(1.2)]);
    const ys = hours.map((hour) => made(hour) + 3 * Math.sin(hour * 1.7));
    const start = [Math.log(0.1), Math.log(0.05), Math.log(1)];
    const own = leastSquares((p) => {
      const at = tempAt(p);
      return hours.map((hour, i) => at(hour) - (ys[i] ?? 0));
    }, start);
    const library = levenbergMarquardt({ x: hours, y: ys }, (p: number[]) => tempAt(p), {
      initialValues: start,
      damping: 10,
      gradientDifference: 1e-5,
      centralDifference: true,
      maxIterations: 2000,
      errorTolerance: 1e-12,
      improvementThreshold: 1e-14,
    });
    own?.params.forEach((param, i) => {
      expect(Math.abs(param - (library.parameterValues[i] ?? Number.NaN))).toBeLessThan(1e-3);
    });
    expect(own?.sumSquares).toBeLessThanOrEqual(library.parameterError * (1 + 1e-6));
  });
});
