/**
 * How long the computer has slept. On Linux the monotonic clock stands still meanwhile, and a laptop whose lid was
 * closed for an hour would put that hour's readings, which the board has kept, into the hour before. The system's uptime
 * goes on (clock_gettime(2): CLOCK_BOOTTIME).
 */
import { uptime } from 'node:os';

/** The two clocks are read one after the other, and some systems tell the uptime in whole seconds. */
const LEAST_SLEEP_MS = 3000;

/** Counts from now on, in real milliseconds. `uptimeMs` goes on during sleep; `awakeMs` may stand still. */
export function sleepMeter(
  uptimeMs = () => uptime() * 1000,
  awakeMs = () => performance.now(),
): () => number {
  const apartMs = uptimeMs() - awakeMs();
  let sleptMs = 0;
  return () => {
    const moreMs = uptimeMs() - awakeMs() - apartMs - sleptMs;
    if (moreMs >= LEAST_SLEEP_MS) sleptMs += moreMs;
    return sleptMs;
  };
}
