import { defineConfig } from 'vitest/config';
import { LongestFirst } from './tests/longest-first.ts';

/** These start processes and browsers, or change what all files of a process share: each has a process of its own. */
const ALONE = [
  'tests/{e2e,board-sketch,board-check}/**/*.test.ts',
  'tests/page/{layout/layout,alert-history,axe,board-check,calls,curve-hands,import,languages}.test.ts',
  'tests/page/{offline,page,past,plan,push,room,sheet-print,tending}.test.ts',
  'tests/core/step-ticks.test.ts',
  'tests/firing/lock.test.ts',
  'tests/links/{ble-library,fake-board,ports,serial-over-a-pty}.test.ts',
  'tests/server/no-network.test.ts',
];

export default defineConfig({
  test: {
    pool: 'forks',
    // Several tests start whole collectors and browsers, and wait for them a third of the time: three at a time keep two
    // cores busy, more starve each other.
    maxWorkers: 3,
    testTimeout: 60_000,
    hookTimeout: 60_000,
    sequence: { sequencer: LongestFirst },
    projects: [
      { extends: true, test: { name: 'alone', include: ALONE } },
      // The others only reckon. Loading the same sources anew for each of them took longer than most of them take.
      {
        extends: true,
        test: { name: 'together', include: ['tests/**/*.test.ts'], exclude: ALONE, isolate: false },
      },
    ],
  },
});
