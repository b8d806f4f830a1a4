import { describe, expect, test } from 'vitest';
import { randomFrom } from '../lines/fake-board.ts';
import { tempFolder } from '../support/collector.ts';
import { archiveFigures } from './archive-figures.ts';
import { benchBoard } from './bench-board.ts';
import { type LockstepOptions, lockstep } from './lockstep.ts';
import { pullAll, somePulls } from './pulls.ts';
import { hasAvrGcc } from './toolchain.ts';

const WELL = { missing: 0, twice: 0, wrong: 0, outOfOrder: 0, misplaced: 0 };

/** A board and a collector in step, and what the archive then holds. */
async function joined(
  how: Partial<LockstepOptions>,
  story: (side: Awaited<ReturnType<typeof lockstep>>, random: () => number) => Promise<void>,
) {
  const home = tempFolder();
  const bench = benchBoard();
  const random = randomFrom(2031);
  const side = await lockstep({ bench, dataFolder: home.path, random, ...how });
  try {
    await story(side, random);
    await side.close();
    const promised = bench.lines('hello').at(-1)?.hello.keeps ?? 0;
    return { ...archiveFigures(bench, home.path), bitErrors: side.bitErrors, promised };
  } finally {
    await side.kill();
    home.remove();
  }
}

describe.skipIf(!hasAvrGcc())('board and collector in step (needs avr-gcc)', { timeout: 240_000 }, () => {
  test('eight pulls of 5 to 120 s, 20 s of link between: nothing missing, nothing twice, in order', async () => {
    const figures = await joined({}, async (side, random) => {
      await side.go(30_000);
      await pullAll(
        side,
        somePulls({ count: 8, outMs: [5_000, 120_000], linkMs: [20_000, 20_000], random }),
        random,
      );
      await side.go(30_000);
    });
    expect(figures).toMatchObject({ ...WELL, boots: 1, toldGone: 0 });
    expect(figures.archived).toBe(figures.made);
    expect(figures.late).toBeGreaterThan(100);
  });

  test('the same with the collector killed in every other of them', async () => {
    const figures = await joined({}, async (side, random) => {
      await side.go(30_000);
      const pulls = somePulls({
        count: 6,
        outMs: [5_000, 60_000],
        linkMs: [20_000, 20_000],
        killEvery: 2,
        random,
      });
      await pullAll(side, pulls, random);
      await side.go(30_000);
    });
    expect(figures).toMatchObject({ ...WELL, boots: 1, toldGone: 0 });
    expect(figures.late).toBeGreaterThan(50);
  });

  test('one bit in 10,000 turned over, both ways: no false reading, none lost that is still kept', async () => {
    const figures = await joined({ bitErrorRate: 1e-4 }, async (side, random) => {
      await side.go(240_000);
      await pullAll(
        side,
        somePulls({ count: 3, outMs: [5_000, 60_000], linkMs: [20_000, 20_000], random }),
        random,
      );
      await side.go(60_000);
    });
    expect(figures.bitErrors).toBeGreaterThan(10);
    expect(figures).toMatchObject({ ...WELL, boots: 1, toldGone: 0 });
    expect(figures.sentAgain).toBeGreaterThan(20);
  });

  test('an outage longer than the ring: all that the board still keeps comes, and only what is older is gone', async () => {
    const figures = await joined({}, async (side) => {
      await side.go(1_000_000);
      side.pull();
      await side.go(1_200_000);
      side.plug();
      await side.go(60_000);
    });
    expect(figures).toMatchObject({ twice: 0, wrong: 0, outOfOrder: 0, misplaced: 0, boots: 1 });
    expect(figures.late).toBeGreaterThanOrEqual(figures.promised - 10);
    expect(figures.late).toBeGreaterThan(600);
    expect(figures.late + figures.missing).toBeGreaterThan(1_190);
    expect(figures.late + figures.missing).toBeLessThan(1_220);
  });

  test('wired as documented, a port that is opened again wipes nothing', async () => {
    const figures = await joined({ autoReset: false }, async (side) => {
      await side.go(30_000);
      side.pull();
      await side.go(40_000);
      side.plug();
      await side.go(40_000);
    });
    expect(figures).toMatchObject({ ...WELL, boots: 1 });
    expect(figures.late).toBeGreaterThan(35);
  });

  test('with its auto-reset left on, opening the port restarts the board: what it kept is gone, the firing goes on', async () => {
    const figures = await joined({ autoReset: true }, async (side) => {
      await side.go(30_000);
      side.pull();
      await side.go(40_000);
      side.plug();
      await side.go(40_000);
    });
    expect(figures).toMatchObject({ twice: 0, wrong: 0, outOfOrder: 0, misplaced: 0, boots: 2 });
    expect(figures.missing).toBeGreaterThan(35);
    expect(figures.missing).toBeLessThan(55);
    expect(figures.late).toBe(0);
  });
});
