/** The usual time between stokes. */

const LEAST_INTERVALS = 3;

/** The median of the steps between ascending times; null with fewer than three steps. */
export function medianInterval(times: readonly number[]): number | null {
  const steps = times.slice(1).map((at, index) => at - (times[index] ?? at));
  if (steps.length < LEAST_INTERVALS) return null;
  steps.sort((a, b) => a - b);
  return steps[Math.floor(steps.length / 2)] ?? null;
}
