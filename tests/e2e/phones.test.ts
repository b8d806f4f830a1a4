/** Several phones on the real collector: an alert is heard on one, answered on another, known to who comes late, and after a restart. */
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { hasChromium, openBrowser } from '../support/browser.ts';
import { type Collector, portToComeBackTo, startCollector, tempFolder } from '../support/collector.ts';
import { type FakeBoard, startFakeBoard } from '../support/fake-board.ts';
import { hasSocat, openPty, type Pty } from '../support/pty.ts';

const PATIENCE = { timeout: 30_000 };
/** The alert waits half a minute before it calls: board and collector go so many times as fast. */
const CLOCK_RATE = 4;
const CALLS_WITHIN = { timeout: 60_000 };

describe.skipIf(!hasChromium() || !hasSocat())('several phones (needs Chromium and socat)', () => {
  const home = tempFolder();
  let browser: Browser;
  let cable: Pty;
  let board: FakeBoard;
  let collector: Collector;
  let args: string[] = [];

  beforeAll(async () => {
    browser = await openBrowser();
    cable = await openPty();
    board = await startFakeBoard({
      cable,
      hello: {
        board: 'yard-1',
        boot: '0A0B0C0D',
        periodMs: 1000,
        keeps: 3600,
        probes: [
          { name: 'low', couple: 'K', form: { kind: 'uv' } },
          { name: 'high', couple: 'K', form: { kind: 'uv' } },
        ],
      },
      readings: [[20_000, '!open']],
    });
    board.run(1000 / CLOCK_RATE);
    const data = join(home.path, 'firings');
    args = ['watch', '--port', cable.collectorEnd, '--clock-rate', String(CLOCK_RATE), '--data', data];
    args.push('--http-port', await portToComeBackTo());
    collector = await startCollector(args, home.path);
  }, 60_000);
  afterAll(async () => {
    await browser?.close();
    await board?.close();
    await collector?.kill();
    await cable?.close();
    home.remove();
  });

  async function phone(who: string): Promise<Page> {
    const context = await browser.newContext({ locale: 'en-US', serviceWorkers: 'block', hasTouch: true });
    await context.addInitScript(() => {
      const start = OscillatorNode.prototype.start;
      Object.assign(window, { tones: 0 });
      OscillatorNode.prototype.start = function (when?: number) {
        Object.assign(window, { tones: Number(Reflect.get(window, 'tones')) + 1 });
        start.call(this, when);
      };
    });
    const page = await context.newPage();
    await page.goto(collector.url);
    await page.getByTestId('figure').waitFor(PATIENCE);
    await page.getByLabel('Who is at the kiln').fill(who);
    return page;
  }
  const tones = (page: Page) => page.evaluate(() => Number(Reflect.get(window, 'tones')));
  const sentence = (page: Page) => page.getByTestId('sentence').textContent();

  it('an alert sounds on one, is answered on another, and both know; so does who comes late, and all after a restart', async () => {
    const anna = await phone('Anna');
    await anna
      .getByRole('button', { name: /^Let it sound/ })
      .first()
      .tap();
    const armedAt = await tones(anna);
    const jorun = await phone('Jorun');
    await expect.poll(() => sentence(anna), CALLS_WITHIN).toMatch(/Look soon.*Probe high/);
    await expect.poll(() => tones(anna), PATIENCE).toBeGreaterThan(armedAt);
    // Nobody has touched this one: it is mute, and says so.
    expect(await tones(jorun)).toBe(0);
    await expect
      .poll(async () => {
        const heard = jorun.getByRole('button', { name: /^Heard: Probe high/ });
        if (await heard.count()) await heard.tap({ timeout: 1000 }).catch(() => undefined);
        return sentence(jorun);
      }, PATIENCE)
      .toContain('heard by Jorun at');
    await expect.poll(() => sentence(anna), PATIENCE).toContain('heard by Jorun at');
    expect(await anna.getByRole('button', { name: /^Heard: Probe high/ }).count()).toBe(0);

    const late = await phone('Sigrid');
    await expect.poll(() => sentence(late), PATIENCE).toContain('heard by Jorun at');

    await collector.kill();
    await expect
      .poll(() => sentence(late), PATIENCE)
      .toMatch(/No word from the kiln's computer.*Not connected/);
    collector = await startCollector(args, home.path);
    for (const page of [anna, jorun, late])
      await expect.poll(() => sentence(page), PATIENCE).toContain('heard by Jorun at');
    await late.evaluate(() => {
      location.hash = '#/alerts';
    });
    await late
      .getByText(/Heard by Jorun, phone [0-9a-f]{4} at/)
      .first()
      .waitFor(PATIENCE);
  }, 180_000);
});
