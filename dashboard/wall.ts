/**
 * The wall's time for ages on the page. A browser's monotonic clock may stand still while the phone sleeps, and the
 * system's clock may be set back; an age must never look younger than it is, so each step takes the longer of the two.
 */
export function wallFrom(monotonicMs: () => number, systemMs: () => number): () => number {
  let lastMonotonic = monotonicMs();
  let lastSystem = systemMs();
  let wallMs = 0;
  return () => {
    const monotonic = monotonicMs();
    const system = systemMs();
    wallMs += Math.max(0, monotonic - lastMonotonic, system - lastSystem);
    lastMonotonic = monotonic;
    lastSystem = system;
    return wallMs;
  };
}
