import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { formatBoardLine } from '../../protocol/board-lines.ts';
import { randomFrom } from '../lines/fake-board.ts';
import { onlyFiring, readCsv } from '../support/archive-file.ts';
import { runSpyhole, startCollector, tempFolder } from '../support/collector.ts';
import { hasSocat, openPty } from '../support/pty.ts';
import { archiveFigures } from './archive-figures.ts';
import { benchBoard, PINS } from './bench-board.ts';
import { startPtyBoard } from './pty-board.ts';
import { somePulls } from './pulls.ts';
import { hasAvrGcc } from './toolchain.ts';

const MINUTES = 30;
/** Half an hour of the board in a minute and a half. */
const RATE = 20;
const PULLS = 8;
const [FIRST_BUTTON = 0] = PINS.buttons;

describe.skipIf(!hasAvrGcc() || !hasSocat())(
  'the board on a pty, watched by the real collector (needs avr-gcc and socat)',
  () => {
    it('half an hour with eight pulls: nothing missing, nothing twice, in order; lamp and button work', async () => {
      const home = tempFolder();
      const data = join(home.path, 'firings');
      const cable = await openPty();
      const bench = benchBoard();
      const pulls = somePulls({
        count: PULLS,
        outMs: [5_000, 120_000],
        linkMs: [20_000, 20_000],
        random: randomFrom(30),
      });
      const board = await startPtyBoard(bench, cable, RATE);
      const collector = await startCollector(
        ['watch', '--port', cable.collectorEnd, '--clock-rate', String(RATE), '--data', data],
        home.path,
      );
      try {
        const readings = () => readFileSync(join(onlyFiring(data), 'readings.csv'), 'latin1');
        const archived = (seq: number) => readings().includes(`,${seq},${1000 * (seq + 1)},`);
        await expect.poll(readings, { timeout: 60_000 }).toMatch(/\n0,/);
        for (const { linkMs, outMs } of pulls) {
          await board.until(bench.board.ms + linkMs);
          await board.pullCable();
          await board.until(bench.board.ms + outMs);
          await board.plugCable();
        }
        bench.board.setContact(FIRST_BUTTON, true);
        await board.until(bench.board.ms + 1000);
        bench.board.setContact(FIRST_BUTTON, false);
        await board.until(MINUTES * 60_000);
        // Cheap looks only: while this process is busy, the board stands still.
        const due = MINUTES * 60 - 10;
        const [, firstSeq] = /\n0,[^,]*,[^,]*,[^,]*,(\d+),/.exec(readings()) ?? [];
        const rowsDue = 2 * (due - Number(firstSeq) + 1);
        await expect.poll(() => archived(due), { timeout: 60_000, interval: 200 }).toBe(true);
        await expect
          .poll(() => readings().split('\n').length - 2, { timeout: 60_000, interval: 200 })
          .toBeGreaterThanOrEqual(rowsDue);
        // Whatever was still on its way while those came.
        await board.until(bench.board.ms + 20_000);
        expect(await collector.stop()).toBe(0);

        const figures = archiveFigures(bench, data);
        // So many times as fast, each hiccup of the machine counts as manyfold: where among the others a late reading is
        // put is for joined.test.ts to see.
        expect(figures).toMatchObject({
          missing: 0,
          twice: 0,
          wrong: 0,
          outOfOrder: 0,
          toldGone: 0,
          boots: 1,
        });
        expect(figures.made).toBeGreaterThan(MINUTES * 60 - 600);
        expect(figures.late).toBeGreaterThan(100);

        const link = readFileSync(join(onlyFiring(data), 'link.capture'), 'latin1');
        const [press] = bench.lines('button');
        expect(press && link.includes(formatBoardLine(press))).toBe(true);
        // The board says it twice, and it is logged once.
        const [hello] = bench.lines('hello');
        const id = `"id":"${hello?.hello.boot}-0"`;
        const log = readCsv(join(onlyFiring(data), 'log.csv'));
        expect(log.filter(({ json }) => json?.includes(id))).toHaveLength(1);
        // Watched, with nothing wrong: blinks of 60 ms.
        const lamp = bench.board.pinChanges.filter(({ pin }) => pin === PINS.lamp).slice(-20);
        const blinks = lamp.flatMap((change, n) =>
          change.high && lamp[n + 1] ? [Math.round((lamp[n + 1]?.ms ?? 0) - change.ms)] : [],
        );
        expect(blinks.length).toBeGreaterThan(5);
      } finally {
        await collector.kill();
        await board.close();
        await cable.close();
        home.remove();
      }
    }, 300_000);

    it('by the check before lighting it keeps what it promises, and remembers when its port is shut and opened again', async () => {
      const home = tempFolder();
      const cable = await openPty();
      const bench = benchBoard();
      bench.go(900_000);
      const board = await startPtyBoard(bench, cable, 1);
      try {
        const checked = await runSpyhole(
          ['board', '--port', cable.collectorEnd, '--seconds', '10', '--reopen'],
          home.path,
        );
        expect(checked.stdout).toMatch(/^Board kiln-shed .*: reads every 1000 ms, keeps \d{3} readings/);
        expect(checked.stdout).toMatch(/sends them again when asked/);
        expect(checked.stdout).toMatch(/remembers when its link is shut and opened again/);
      } finally {
        await board.close();
        await cable.close();
        home.remove();
      }
    }, 120_000);
  },
);
