import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { describe, expect, it } from 'vitest';
import type { Hello } from '../../protocol/board-lines.ts';
import { onlyFiring, readCsv } from '../support/archive-file.ts';
import { startCollector, tempFolder } from '../support/collector.ts';
import { startFakeBoard } from '../support/fake-board.ts';
import { hasSocat, openPty } from '../support/pty.ts';

const HELLO: Hello = {
  board: 'shed-1',
  boot: '0A0B0C0D',
  periodMs: 1000,
  keeps: 3600,
  probes: [{ name: 'front', couple: 'K', form: { kind: 'uv' } }],
};
const READINGS = Array.from({ length: 60 }, (_, place) => [20_000 + 7 * place]);
/** The collector's clock and the board's pace, so that a minute without a cable takes six seconds. */
const CLOCK_RATE = 10;
const OUT_MS = 60_000;

describe.skipIf(!hasSocat())('a cable that is pulled for a minute (needs socat)', () => {
  it('leaves nothing missing where the board keeps its readings', async () => {
    const home = tempFolder();
    const cable = await openPty();
    const board = await startFakeBoard({ cable, hello: HELLO, readings: READINGS });
    const data = join(home.path, 'firings');
    const collector = await startCollector(
      ['watch', '--port', cable.collectorEnd, '--clock-rate', String(CLOCK_RATE), '--data', data],
      home.path,
    );
    try {
      board.run(HELLO.periodMs / CLOCK_RATE);
      await sleep(2000);
      const beforePull = board.nextSeq;
      await board.pullCable();
      await sleep(OUT_MS / CLOCK_RATE);
      await board.plugCable();
      const afterPlug = board.nextSeq;
      // To find the port again, ask for what is missing and hear it takes some seconds of the scaled clock.
      await sleep(6000);
      const sentUpTo = board.nextSeq;
      await sleep(1500);
      expect(await collector.stop()).toBe(0);

      expect(afterPlug - beforePull).toBeGreaterThan(40);
      const rows = readCsv(join(onlyFiring(data), 'readings.csv'));
      const seqs = rows.map((row) => Number(row.seq)).filter((seq) => seq < sentUpTo);
      const [first = 0] = seqs;
      const sorted = [...seqs].sort((a, b) => a - b);
      expect(sorted).toEqual(Array.from({ length: sentUpTo - first }, (_, place) => first + place));
      // What was sent while the cable was out came late, and says so.
      const late = rows.filter((row) => row.late === '1').map((row) => Number(row.seq));
      expect(late.length).toBeGreaterThan(40);
      expect(Math.min(...late)).toBeLessThanOrEqual(beforePull + 1);
      // Read in order of time, the seqs run on: each stands at its own time.
      const byTime = [...rows].sort((a, b) => String(a.time).localeCompare(String(b.time)));
      expect(byTime.map((row) => Number(row.seq))).toEqual(
        [...byTime.map((row) => Number(row.seq))].sort((a, b) => a - b),
      );
    } finally {
      await collector.kill();
      await board.close();
      await cable.close();
      home.remove();
    }
  }, 120_000);
});
