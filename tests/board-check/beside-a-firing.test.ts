/** The check before lighting of a collector that watches: asked for by a page, its cable tried, and refused once lit. */
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { WebSocket } from 'ws';
import { judge } from '../../collector/core/board-check/judge.ts';
import type { CollectorMessage } from '../../protocol/live-messages.ts';
import { GREETING, type Page, pageOn } from '../server/support.ts';
import { type Collector, startCollector, tempFolder } from '../support/collector.ts';
import { type FakeBoard, startFakeBoard } from '../support/fake-board.ts';
import { hasSocat, openPty, type Pty } from '../support/pty.ts';

const PATIENCE = { timeout: 40_000, interval: 200 };

describe.skipIf(!hasSocat())('the check beside a firing (needs socat)', { timeout: 120_000 }, () => {
  const home = tempFolder();
  let cable: Pty;
  let board: FakeBoard;
  let collector: Collector;
  let page: Page;

  beforeEach(async () => {
    cable = await openPty();
    board = await startFakeBoard({
      cable,
      hello: {
        board: 'shed-1',
        boot: '9F00C2A1',
        periodMs: 100,
        keeps: 600,
        probes: [
          { name: 'low', couple: 'K', form: { kind: 'deg' } },
          { name: 'high', couple: 'S', form: { kind: 'deg' } },
        ],
      },
      readings: [[18, 18.5]],
    });
    board.run(100);
    collector = await startCollector(['watch', '--port', cable.collectorEnd], home.path);
    const address = `${collector.url.replace('http', 'ws')}live`;
    const socket = new WebSocket(address, { headers: { Origin: collector.url.replace(/\/$/, '') } });
    page = pageOn(socket);
    await new Promise<void>((resolve, reject) => {
      socket.on('open', resolve);
      socket.on('error', reject);
    });
    page.say(GREETING);
    await page.next('welcome');
  });
  afterEach(async () => {
    page.socket.terminate();
    await collector.stop();
    await board.close();
    await cable.close();
    home.remove();
  });

  async function check(which: string | null = null): Promise<Extract<CollectorMessage, { type: 'checked' }>> {
    page.say({ type: 'check', cable: which });
    return page.next('checked');
  }

  it('tells the facts, tries the cable before the fire is lit, and refuses it afterwards', async () => {
    await expect
      .poll(async () => (await check()).boards.map((facts) => judge(facts).verdict), PATIENCE)
      .toEqual(['fit']);
    const [facts] = (await check()).boards;
    expect(facts).toMatchObject({ link: 'collector', hello: { board: 'shed-1', keeps: 600 }, cable: null });
    expect(facts?.probes.map(({ name, lastC }) => [name, lastC])).toEqual([
      ['low', 18],
      ['high', 18.5],
    ]);
    await expect.poll(async () => (await check()).boards[0]?.gives.answered, PATIENCE).toBeGreaterThan(0);

    expect((await check('elsewhere')).refused).toMatch(/no board with a cable/);
    expect((await check('collector')).refused).toBeNull();
    await expect
      .poll(async () => (await check()).boards[0]?.cable, PATIENCE)
      .toEqual({ how: 'reopened', remembers: true });
    expect(collector.said()).toContain('Trying the cable: the link is shut and opened again.');

    page.say({ type: 'log', entry: { log: 'light-up', id: 'lit-1' } });
    await expect
      .poll(async () => (await check('collector')).refused, PATIENCE)
      .toMatch(/only before the kiln is lit/);
  });
});
