import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { hasChromium } from '../support/browser.ts';
import { PATIENCE, pageInBrowser } from './in-browser.ts';

/** The words of the time axis lie on a canvas: what is shown is read from what the page asks for, finer. */
async function stretchesAsked(page: Page): Promise<{ from: number; to: number }[]> {
  const asked: { from: number; to: number }[] = [];
  page.on('request', (request) => {
    const address = new URL(request.url());
    if (!address.pathname.endsWith('/curve')) return;
    asked.push({
      from: Number(address.searchParams.get('from')),
      to: Number(address.searchParams.get('to')),
    });
  });
  return asked;
}

const lengthMs = ({ from, to }: { from: number; to: number }) => to - from;

describe.skipIf(!hasChromium())('hands on the curve (needs Chromium)', () => {
  const { collector, visit } = pageInBrowser();

  it('brings it closer by button, key and wheel, each time about half and less, and back to the whole', async () => {
    const fake = await collector(14);
    const page = await visit(fake, { width: 1280, height: 800 });
    const asked = await stretchesAsked(page);
    const curve = page.locator('.curve-host');
    await page.getByRole('button', { name: 'Closer' }).click();
    await expect.poll(() => asked.length, PATIENCE).toBe(1);
    await curve.focus();
    await page.keyboard.press('+');
    await expect.poll(() => asked.length, PATIENCE).toBe(2);
    await curve.hover({ position: { x: 400, y: 100 } });
    await page.keyboard.down('Control');
    await page.mouse.wheel(0, -300);
    await page.keyboard.up('Control');
    await expect.poll(() => asked.length, PATIENCE).toBe(3);
    const [first, second, third] = asked.map(lengthMs);
    expect(second).toBeLessThan(Number(first));
    expect(third).toBeLessThan(Number(second));
    await page.keyboard.press('0');
    await expect
      .poll(
        () => page.getByRole('button', { name: 'Show the whole firing' }).getAttribute('aria-pressed'),
        PATIENCE,
      )
      .toBe('true');
  });

  it('lets a plain wheel scroll the page', async () => {
    const fake = await collector(14);
    const page = await visit(fake, { width: 1280, height: 800 });
    const asked = await stretchesAsked(page);
    await page.locator('.curve-host').hover({ position: { x: 400, y: 100 } });
    const before = await page.evaluate(() => window.scrollY);
    await page.mouse.wheel(0, 200);
    await expect.poll(() => page.evaluate(() => window.scrollY), PATIENCE).toBeGreaterThan(before);
    expect(asked).toEqual([]);
  });

  it('comes closer between two fingers', async () => {
    const fake = await collector(14);
    const page = await visit(fake);
    const asked = await stretchesAsked(page);
    await page.locator('.curve-host').scrollIntoViewIfNeeded();
    const box = await page.locator('.curve-host .u-over').boundingBox();
    if (!box) throw new Error('The curve has no place on the page.');
    const cdp = await page.context().newCDPSession(page);
    const y = box.y + box.height / 2;
    const middle = box.x + box.width / 2;
    const touch = (type: 'touchStart' | 'touchMove' | 'touchEnd', apart: number | null) =>
      cdp.send('Input.dispatchTouchEvent', {
        type,
        touchPoints:
          apart === null
            ? []
            : [
                { x: middle - apart, y, id: 1 },
                { x: middle + apart, y, id: 2 },
              ],
      });
    await touch('touchStart', 20);
    for (const apart of [30, 50, 80, 110]) await touch('touchMove', apart);
    await touch('touchEnd', null);
    // Five and a half times as far apart: so much shorter than the whole, some 14 hours and what is ahead.
    await expect
      .poll(() => {
        const last = asked.at(-1);
        return last ? lengthMs(last) : Number.POSITIVE_INFINITY;
      }, PATIENCE)
      .toBeLessThan(4 * 3_600_000);
  });

  it('takes a line away and brings it back, by its name', async () => {
    const fake = await collector(14);
    const page = await visit(fake);
    const front = page.getByRole('button', { name: /^front .*its line/ });
    await expect.poll(() => front.getAttribute('aria-pressed'), PATIENCE).toBe('true');
    await front.tap();
    await expect.poll(() => front.getAttribute('aria-pressed'), PATIENCE).toBe('false');
    expect(await front.textContent()).toContain('line is off');
    await front.tap();
    await expect.poll(() => front.textContent(), PATIENCE).toContain('°F');
  });
});
