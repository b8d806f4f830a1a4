/** A stall in the simulator reaches a page, the board's lamp, a webhook and a broker. How fast: `npm run bench`. */
import { expect, it, onTestFinished } from 'vitest';
import { tempFolder } from '../support/collector.ts';
import { REACHED, stallToWays } from '../support/stall-to-ways.ts';

it('each is reached, and none before the core has raised it', async () => {
  const folder = tempFolder();
  onTestFinished(folder.remove);
  const after = await stallToWays(folder.path);
  expect(Object.keys(after).toSorted()).toEqual([...REACHED].toSorted());
  for (const ms of Object.values(after)) {
    expect(Number.isFinite(ms)).toBe(true);
    expect(ms).toBeGreaterThanOrEqual(0);
  }
});
