import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { afterEach, describe, expect, it } from 'vitest';
import { ownCommand } from '../../collector/own-command.ts';
import type { Hello } from '../../protocol/board-lines.ts';
import { onlyFiring, readCsv } from '../support/archive-file.ts';
import { type Collector, runSpyhole, startCollector, tempFolder } from '../support/collector.ts';
import { type FakeBoard, startFakeBoard } from '../support/fake-board.ts';
import { hasSocat, openPty, type Pty } from '../support/pty.ts';

const PATIENCE_MS = 60_000;
const hello = (board: string): Hello => ({
  board,
  boot: '0A0B0C0D',
  periodMs: 200,
  keeps: 3600,
  probes: [{ name: 'low', couple: 'K', form: { kind: 'uv' } }],
});
const READINGS = Array.from({ length: 60 }, (_, place) => [20_000 + 7 * place]);

const cables: Pty[] = [];
const boards: FakeBoard[] = [];
let collector: Collector | null = null;
let home = tempFolder();

afterEach(async () => {
  await collector?.kill();
  collector = null;
  for (const board of boards.splice(0)) await board.close();
  for (const cable of cables.splice(0)) await cable.close();
  home.remove();
  home = tempFolder();
});

async function plugIn(names: string[]): Promise<string[]> {
  for (const name of names) {
    const cable = await openPty();
    const board = await startFakeBoard({ cable, hello: hello(name), readings: READINGS });
    board.run(200);
    cables.push(cable);
    boards.push(board);
  }
  return cables.map(({ collectorEnd }) => collectorEnd);
}

async function until(what: string, holds: () => boolean): Promise<void> {
  const deadline = performance.now() + PATIENCE_MS;
  while (!holds()) {
    if (performance.now() > deadline) throw new Error(`waited in vain until ${what}: ${collector?.said()}`);
    await sleep(100);
  }
}

/** How many readings of each board the only firing of a folder holds. */
function counts(data: string): Record<string, number> {
  const found: Record<string, number> = {};
  try {
    for (const { board = '' } of readCsv(join(onlyFiring(data), 'readings.csv')))
      found[board] = (found[board] ?? 0) + 1;
  } catch {
    // Not begun yet.
  }
  return found;
}
const total = (data: string) => Object.values(counts(data)).reduce((sum, count) => sum + count, 0);

describe.skipIf(!hasSocat())('several boards and kilns on one collector (needs socat)', () => {
  it('two boards in one kiln, one in another: each kiln has its firing, its page, and goes on after a kill', async () => {
    const [front = '', side = '', back = ''] = await plugIn(['shed-1', 'shed-2', 'yard-1']);
    const data = join(home.path, 'firings');
    const args = ['watch', '--kiln', `front=${front},${side}`, '--kiln', `back=${back}`, '--data', data];
    collector = await startCollector(args, home.path);
    const [frontData, backData] = [join(data, 'front'), join(data, 'back')];
    await until('all boards are read', () => {
      const there = counts(frontData);
      return (there['shed-1'] ?? 0) > 5 && (there['shed-2'] ?? 0) > 5 && total(backData) > 5;
    });
    expect(Object.keys(counts(frontData)).sort()).toEqual(['shed-1', 'shed-2']);
    expect(Object.keys(counts(backData))).toEqual(['yard-1']);

    const door = await (await fetch(collector.url)).text();
    expect(door).toContain('/kiln/front/');
    for (const kiln of ['front', 'back'])
      expect(await (await fetch(new URL(`kiln/${kiln}/`, collector.url))).text()).toContain('id="page"');
    const listed = await (await fetch(new URL('kiln/front/api/firings', collector.url))).json();
    expect(listed.firings).toHaveLength(1);

    await collector.kill();
    const [frontBefore, backBefore] = [total(frontData), total(backData)];
    collector = await startCollector(args, home.path);
    await until('both go on', () => total(frontData) > frontBefore + 10 && total(backData) > backBefore + 5);
    expect(collector.said()).toContain('front: Going on with');
    expect(collector.said()).toContain('back: Going on with');
    // One folder each still, and all that was missed meanwhile was asked for.
    for (const folder of [frontData, backData]) {
      expect(readdirSync(folder).filter((name) => /^\d{4}-/.test(name))).toHaveLength(1);
      const rows = readCsv(join(onlyFiring(folder), 'readings.csv'));
      const keys = rows.map(({ board, seq }) => `${board} ${seq}`);
      expect(new Set(keys).size).toBe(keys.length);
    }
    expect(await collector.stop()).toBe(0);
  }, 180_000);
});

describe('what cannot be watched', () => {
  it.each([
    [['--kiln', 'back'], 'Say at which port the board of kiln back is'],
    [['--kiln', 'Back Yard=COM3'], "A kiln's name is of a-z, 0-9 and -"],
    [['--kiln', 'a=COM3', '--kiln', 'b=COM4,COM3'], 'The port COM3 is named twice'],
    [['--kiln', 'a=COM3', '--kiln', 'a=COM4'], 'There are two kilns a'],
    [['--kiln', 'a=COM3', '--port', 'COM4'], 'leave --port away'],
    [['--port', 'COM3,COM3'], 'The port COM3 is named twice'],
    [[], `${ownCommand('ports')} lists them`],
  ])('%j is told in a sentence', async (args, sentence) => {
    const { status, stderr } = await runSpyhole(['watch', ...args], home.path);
    expect(stderr).toContain(sentence);
    expect(status).toBe(1);
  });
});
