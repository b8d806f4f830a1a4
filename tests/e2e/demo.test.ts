import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { hasChromium, openBrowser } from '../support/browser.ts';
import { type Collector, startCollector, tempFolder } from '../support/collector.ts';

describe.skipIf(!hasChromium())('what a newcomer sees (needs Chromium)', () => {
  const home = tempFolder();
  let collector: Collector;
  let browser: Browser;

  beforeAll(async () => {
    collector = await startCollector(['demo', '--speed', '1200'], home.path);
    browser = await openBrowser();
  });
  afterAll(async () => {
    await browser?.close();
    await collector?.kill();
    home.remove();
  });

  it('says in large type that this is a demo, and how fast it runs; prints the address and a code', async () => {
    const page = await browser.newPage();
    await page.goto(collector.url);
    const words = page.getByText('This is a demo kiln, running 1200 times as fast as a real one.');
    await words.waitFor();
    expect(
      Number.parseFloat(await words.evaluate((element) => getComputedStyle(element).fontSize)),
    ).toBeGreaterThanOrEqual(18);
    expect(collector.said()).toMatch(/DEMO KILN, running 1200 times/);
    // A QR code in half blocks has at least 21 modules and a margin a side (ISO/IEC 18004), two rows of them a line.
    const code = collector
      .said()
      .split('\n')
      .filter((line) => /^[ ▀▄█]{25,}$/.test(line));
    expect(code.length).toBeGreaterThanOrEqual(12);
    await page.close();
  });

  it('draws a curve that grows, asks nothing of the outside, and says nothing in the console', async () => {
    const page = await browser.newPage({ viewport: { width: 390, height: 844 } });
    const asked: string[] = [];
    const complaints: string[] = [];
    page.on('request', (request) => asked.push(request.url()));
    page.on('console', (message) => {
      if (message.type() === 'error' || message.type() === 'warning') complaints.push(message.text());
    });
    page.on('pageerror', (error) => complaints.push(error.message));
    await page.goto(collector.url);
    const figure = page.getByTestId('kiln-temp');
    await page.waitForFunction(() =>
      /^\d+$/.test(document.querySelector('[data-testid="kiln-temp"]')?.textContent ?? ''),
    );
    const before = await figure.textContent();
    await page.waitForFunction(
      (old) => document.querySelector('[data-testid="kiln-temp"]')?.textContent !== old,
      before,
    );
    // Not one flat colour: something is drawn.
    const colours = await page.evaluate(() => {
      const canvas = document.querySelector<HTMLCanvasElement>('.uplot canvas');
      const data =
        canvas?.getContext('2d')?.getImageData(0, 0, canvas.width, canvas.height).data ??
        new Uint8ClampedArray();
      const seen = new Set<number>();
      for (let place = 0; place < data.length; place += 4) {
        seen.add(((data[place] ?? 0) << 16) | ((data[place + 1] ?? 0) << 8) | (data[place + 2] ?? 0));
      }
      return seen.size;
    });
    expect(colours).toBeGreaterThan(4);
    expect(
      asked.filter(
        (url) => !url.startsWith(collector.url) && !url.startsWith(collector.url.replace('http', 'ws')),
      ),
    ).toEqual([]);
    expect(complaints).toEqual([]);
    await page.close();
  });

  it('takes a tap on a stoke hole to the log book, for every page, and takes it back', async () => {
    const one = await browser.newPage();
    const other = await browser.newPage();
    await Promise.all([one.goto(collector.url), other.goto(collector.url)]);
    const undone = () => other.locator('text=/taken back/i').count();
    const before = await undone();
    await one
      .getByRole('button', { name: /stoke.*left/i })
      .first()
      .click();
    await one
      .getByRole('button', { name: /^take back/i })
      .first()
      .click();
    await expect.poll(undone, { timeout: 10_000 }).toBeGreaterThan(before);
    await Promise.all([one.close(), other.close()]);
  });

  it('lists the firing among the past ones, replays it from its start, and stops', async () => {
    const page = await browser.newPage();
    await page.goto(`${collector.url}#/past`);
    await page.getByRole('link', { name: /demo/ }).first().click();
    const figure = page.getByTestId('kiln-temp');
    const text = () => figure.textContent();
    const scrub = page.getByRole('slider').first();
    await scrub.fill('0');
    await page.getByRole('button', { name: 'Play' }).click();
    const atStart = await text();
    await expect.poll(text, { timeout: 20_000 }).not.toBe(atStart);
    await page.getByRole('button', { name: 'Stop here' }).click();
    const stopped = await text();
    await page.waitForTimeout(500);
    expect(await text()).toBe(stopped);
    await page.close();
  });
});
