/** A board that a browser reads: a real page in Chromium, its Web Serial wired to the tests' board, the real collector. */
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { onlyFiring, readCsv } from '../support/archive-file.ts';
import { type BleUuids, withWebBluetooth, withWebSerial } from '../support/board-in-browser.ts';
import { hasChromium, openBrowser } from '../support/browser.ts';
import { type Collector, startCollector, tempFolder } from '../support/collector.ts';
import { type FakeBoard, startFakeBoard } from '../support/fake-board.ts';
import { hasSocat, openPty, type Pty } from '../support/pty.ts';

const PATIENCE = { timeout: 30_000 };
const READINGS = Array.from({ length: 60 }, (_, place) => [20_000 + 7 * place]);

/** Made up: no board's. */
const UUIDS: BleUuids = {
  service: '7b1d0001-5a3c-4c1e-9a55-0d5b2f3c9e10',
  notify: '7b1d0002-5a3c-4c1e-9a55-0d5b2f3c9e10',
  write: '0000abcd-0000-1000-8000-00805f9b34fb',
};
const UUID_OPTIONS = ['--ble-service', UUIDS.service, '--ble-notify', UUIDS.notify, '--ble-write', 'ABCD'];

describe.skipIf(!hasChromium() || !hasSocat())(
  'a board that a browser reads (needs Chromium and socat)',
  () => {
    let browser: Browser;
    let collector: Collector;
    let cable: Pty;
    let board: FakeBoard;
    let unplug: () => Promise<void> = async () => undefined;
    let home: ReturnType<typeof tempFolder>;
    let data = '';

    beforeEach(async () => {
      home = tempFolder();
      data = join(home.path, 'firings');
      browser = await openBrowser();
      cable = await openPty();
      board = await startFakeBoard({
        cable,
        hello: {
          board: 'yard-1',
          boot: '0A0B0C0D',
          periodMs: 200,
          keeps: 3600,
          probes: [{ name: 'low', couple: 'K', form: { kind: 'uv' } }],
        },
        readings: READINGS,
      });
      const args = ['watch', '--port', 'browser', '--data', data, ...UUID_OPTIONS];
      collector = await startCollector(args, home.path);
    });
    afterEach(async () => {
      await browser?.close();
      await unplug();
      await board?.close();
      await collector?.kill();
      await cable?.close();
      home?.remove();
    });

    async function visit(reads: boolean, over: 'cable' | 'bluetooth' = 'cable'): Promise<Page> {
      const context = await browser.newContext({ locale: 'en-US', serviceWorkers: 'block' });
      const page = await context.newPage();
      if (reads && over === 'bluetooth') unplug = await withWebBluetooth(page, cable, UUIDS);
      else if (reads) unplug = await withWebSerial(page, cable);
      else
        await page.addInitScript(() => {
          Object.defineProperty(navigator, 'serial', {
            value: { getPorts: async () => [], requestPort: async () => ({ getInfo: () => ({}) }) },
          });
        });
      await page.goto(collector.url);
      await page.getByRole('link', { name: 'Read the board here' }).click(PATIENCE);
      return page;
    }

    const seqs = () => {
      try {
        return readCsv(join(onlyFiring(data), 'readings.csv')).map(({ seq }) => Number(seq));
      } catch {
        return [];
      }
    };

    it('gives readings, what was missed while the cable was out, and is told as unplugged when the page is closed', async () => {
      const watcher = await visit(false);
      const standing = () => watcher.locator('.this-page').textContent();
      await expect.poll(standing, PATIENCE).toContain('No browser reads the board yet');
      const page = await visit(true);
      await page.getByLabel('Who is at the kiln').fill('Anna');
      await page.getByRole('button', { name: 'Choose its cable' }).click(PATIENCE);
      await page.getByText('The port is open.').waitFor(PATIENCE);
      const stop = board.run(200);
      await expect.poll(() => seqs().length, PATIENCE).toBeGreaterThan(10);
      await expect.poll(standing, PATIENCE).toMatch(/The board is read by Anna, phone [0-9a-f]{4}\./);
      // And back: the board is told that somebody watches.
      await expect.poll(() => board.heard.some((line) => line.startsWith('$L,0')), PATIENCE).toBe(true);

      // Another page is told which one has it, and does not get it.
      await expect
        .poll(() => watcher.getByText(/The board is read by Anna.* now\./).count(), PATIENCE)
        .toBe(0);
      await watcher.getByRole('button', { name: 'Choose its cable' }).click(PATIENCE);
      await watcher
        .getByText(/The board is read by Anna, .* already: let go of it there first\./)
        .waitFor(PATIENCE);

      await board.pullCable();
      await expect.poll(standing, PATIENCE).toContain('The board was unplugged from Anna');
      const pulledAt = board.nextSeq;
      await expect.poll(() => board.nextSeq, PATIENCE).toBeGreaterThan(pulledAt + 10);
      await board.plugCable();
      await page.getByText('The port is open.').waitFor(PATIENCE);
      await expect.poll(() => Math.max(...seqs()), PATIENCE).toBeGreaterThan(pulledAt + 15);
      await expect
        .poll(() => {
          const sorted = seqs().toSorted((a, b) => a - b);
          return sorted.every((seq, place) => seq === (sorted[0] ?? 0) + place);
        }, PATIENCE)
        .toBe(true);

      // A page that is loaded anew goes on by itself.
      await page.reload();
      const reloadedAt = board.nextSeq;
      await expect.poll(() => Math.max(...seqs()), PATIENCE).toBeGreaterThan(reloadedAt + 10);

      await page.close();
      await expect.poll(standing, PATIENCE).toContain('is gone, and nobody reads the board');
      stop();
    }, 180_000);

    it('is read over Bluetooth just so, and connected again after it was out of reach', async () => {
      const page = await visit(true, 'bluetooth');
      await page.getByRole('button', { name: 'Choose it by Bluetooth' }).click(PATIENCE);
      await page.getByText('The port is open.').waitFor(PATIENCE);
      const stop = board.run(200);
      await expect.poll(() => seqs().length, PATIENCE).toBeGreaterThan(5);
      await expect.poll(() => board.heard.some((line) => line.startsWith('$L,0')), PATIENCE).toBe(true);
      await board.pullCable();
      await expect.poll(() => page.locator('.this-page').textContent(), PATIENCE).toContain('out of reach');
      const lostAt = board.nextSeq;
      await board.plugCable();
      await expect.poll(() => Math.max(...seqs()), PATIENCE).toBeGreaterThan(lostAt + 5);
      stop();
    }, 120_000);
  },
);
