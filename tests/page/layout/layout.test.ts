/**
 * Whether a page still looks as it did when somebody last looked: each first screen against a small picture of it. What
 * is meant to look otherwise is looked at and kept anew: `SPYHOLE_PICTURES=keep npx vitest run tests/page/layout`.
 */
import { fileURLToPath } from 'node:url';
import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { hasChromium } from '../../support/browser.ts';
import { PATIENCE, pageInBrowser } from '../in-browser.ts';
import { readingAt } from '../pages.ts';
import { keep, unlike } from './pictures.ts';

/** Generous: other letters of the same page, or another version of the browser, stay below it. */
const MAY_DIFFER = 0.08;
const KEEPS = process.env.SPYHOLE_PICTURES === 'keep';

const ROOMS = [
  { room: 'before', hash: '#/', hoursIn: -0.1 },
  { room: 'climbing', hash: '#/', hoursIn: 13 },
  { room: 'cooling', hash: '#/', hoursIn: 18.5 },
  { room: 'salting', hash: '#/salting', hoursIn: 16 },
  { room: 'stoking', hash: '#/stoking', hoursIn: 13 },
  { room: 'plan', hash: '#/plan', hoursIn: 13 },
  { room: 'past', hash: '#/past', hoursIn: 13 },
] as const;
const SIZES = [
  { size: 'phone', width: 390, height: 844 },
  { size: 'wide', width: 1280, height: 800 },
] as const;

const fileOf = (name: string) => fileURLToPath(new URL(`./kept/${name}.png`, import.meta.url));

describe.skipIf(!hasChromium())('the layout (needs Chromium)', () => {
  const { collector, visit } = pageInBrowser();

  async function open(hash: string, hoursIn: number, size: { width: number; height: number }): Promise<Page> {
    const fake = await collector(hoursIn);
    const page = await visit(fake, size);
    await page.emulateMedia({ reducedMotion: 'reduce' });
    fake.tell(readingAt(Math.round(fake.now()), 0));
    await page.getByTestId('climb').filter({ hasText: '+' }).waitFor(PATIENCE);
    await page.evaluate((where) => {
      location.hash = where;
    }, hash);
    await page.getByRole('heading', { level: 2 }).first().waitFor(PATIENCE);
    await page.evaluate(() => document.fonts.ready);
    return page;
  }

  describe.each(SIZES)('on a $size screen', ({ size, width, height }) => {
    it.each(ROOMS)('is as it was: $room, by day and by night', async ({ room, hash, hoursIn }) => {
      const page = await open(hash, hoursIn, { width, height });
      for (const look of ['light', 'dark'] as const) {
        await page.emulateMedia({ colorScheme: look });
        const file = fileOf(`${room}-${size}-${look}`);
        // The curve is drawn a moment after the look has changed.
        await page.waitForTimeout(200);
        if (KEEPS) keep(await page.screenshot(), file);
        await expect
          .poll(async () => unlike(await page.screenshot(), file), PATIENCE)
          .toBeLessThan(MAY_DIFFER);
      }
    });
  });

  it('a break of it is seen: the hands gone, the figure small', async () => {
    const page = await open('#/', 13, { width: 390, height: 844 });
    const file = fileOf('climbing-phone-light');
    await expect.poll(async () => unlike(await page.screenshot(), file), PATIENCE).toBeLessThan(MAY_DIFFER);
    await page.evaluate(() => {
      for (const part of document.querySelectorAll<HTMLElement>('.hands, .figure')) part.remove();
    });
    expect(unlike(await page.screenshot(), file)).toBeGreaterThan(MAY_DIFFER);
  });
});
