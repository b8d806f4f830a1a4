import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { describe, expect, it } from 'vitest';
import type { Hello } from '../../protocol/board-lines.ts';
import { onlyFiring, readCsv } from '../support/archive-file.ts';
import { type Collector, startCollector, tempFolder } from '../support/collector.ts';
import { startFakeBoard } from '../support/fake-board.ts';
import { hasSocat, openPty } from '../support/pty.ts';

const HELLO: Hello = {
  board: 'shed-1',
  boot: '0A0B0C0D',
  periodMs: 200,
  keeps: 3600,
  probes: [
    { name: 'front', couple: 'K', form: { kind: 'uv' } },
    { name: 'back', couple: 'S', form: { kind: 'uv' } },
  ],
};
const READINGS = Array.from({ length: 50 }, (_, place) => [20_000 + 7 * place, 4_000 + 3 * place]);
const KILLS = 10;

/** Milliseconds between 600 and 2000, the same in every run of the test. */
function waits(count: number): number[] {
  let seed = 20_310_308;
  return Array.from({ length: count }, () => {
    seed = (Math.imul(seed, 1_664_525) + 1_013_904_223) >>> 0;
    return 600 + (1400 * seed) / 2 ** 32;
  });
}

describe.skipIf(!hasSocat())('the collector killed in mid-firing (needs socat)', () => {
  it('leaves an archive with no torn line, nothing twice and nothing missing, ten times over', async () => {
    const home = tempFolder();
    const cable = await openPty();
    const board = await startFakeBoard({ cable, hello: HELLO, readings: READINGS });
    const data = join(home.path, 'firings');
    let collector: Collector | null = null;
    try {
      board.run(HELLO.periodMs);
      for (const wait of waits(KILLS)) {
        collector = await startCollector(['watch', '--port', cable.collectorEnd, '--data', data], home.path);
        await sleep(wait);
        await collector.kill();
        const kept = readFileSync(join(onlyFiring(data), 'readings.csv'), 'latin1');
        expect(kept.startsWith('arrival,time,board,boot,seq')).toBe(true);
      }
      collector = await startCollector(['watch', '--port', cable.collectorEnd, '--data', data], home.path);
      await sleep(3000);
      const sentUpTo = board.nextSeq;
      await sleep(2000);
      expect(await collector.stop()).toBe(0);
      collector = null;

      const rows = readCsv(join(onlyFiring(data), 'readings.csv'));
      const keys = rows.map((row) => `${row.board} ${row.boot} ${row.seq} ${row.probe}`);
      expect(new Set(keys).size).toBe(keys.length);
      expect(rows.map((row) => Number(row.arrival))).toEqual(rows.map((_, place) => place));
      const seqs = [...new Set(rows.map((row) => Number(row.seq)))].sort((a, b) => a - b);
      const [first = 0] = seqs;
      const wanted = Array.from({ length: sentUpTo - first }, (_, place) => first + place);
      expect(seqs.filter((seq) => seq < sentUpTo)).toEqual(wanted);
      expect(rows.filter((row) => Number(row.seq) < sentUpTo)).toHaveLength(2 * wanted.length);
    } finally {
      await collector?.kill();
      await board.close();
      await cable.close();
      home.remove();
    }
  }, 240_000);
});
