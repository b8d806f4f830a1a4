/** Past firings in a real browser: sorted, sifted, ticked, and laid beside each other. */
import { describe, expect, it } from 'vitest';
import { hasChromium } from '../support/browser.ts';
import { PATIENCE, pageInBrowser } from './in-browser.ts';
import { FACTS, PAST } from './learn-story.ts';

describe.skipIf(!hasChromium())('past firings on a phone (needs Chromium)', () => {
  const { collector, visit } = pageInBrowser();

  it('are sorted, sifted, ticked and laid beside each other, without sideways scrolling', async () => {
    const fake = await collector(18.5, { past: PAST, facts: FACTS });
    const page = await visit(fake, { width: 320, height: 700 });
    await page.goto(`${fake.url}#/past`);
    const firings = page.locator('.past-firing .press-word');
    await page.getByText('A row cannot be read.').waitFor(PATIENCE);
    expect(await firings.allTextContents()).toEqual(['Long Meadow, March', 'Spring', 'Autumn']);
    const byHeat = page.getByRole('columnheader', { name: 'To salting heat' });
    await byHeat.getByRole('button').tap();
    expect(await byHeat.getAttribute('aria-sort')).toBe('descending');
    expect(await firings.allTextContents()).toEqual(['Spring', 'Long Meadow, March', 'Autumn']);
    await byHeat.getByRole('button').tap();
    expect(await byHeat.getAttribute('aria-sort')).toBe('ascending');
    expect(await firings.allTextContents()).toEqual(['Autumn', 'Long Meadow, March', 'Spring']);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(320);

    await page.getByRole('button', { name: 'counted', exact: true }).tap();
    expect(await firings.allTextContents()).toEqual(['Spring']);
    await page.getByRole('button', { name: 'all', exact: true }).tap();
    await page.getByLabel('Find by name or weather').fill('autumn');
    expect(await firings.allTextContents()).toEqual(['Autumn']);
    await page.getByLabel('Find by name or weather').fill('');
    await page.getByText('too few to say').waitFor(PATIENCE);

    await page.getByLabel(/lay Spring beside/).check();
    await page.getByLabel(/lay Autumn beside/).check();
    await page.getByRole('link', { name: 'Lay these two beside each other' }).tap();
    await page.getByText('1 h 59 min behind Autumn at this heat.').waitFor(PATIENCE);
    await page.getByText('Two stalls fewer.').waitFor(PATIENCE);
    await expect.poll(() => page.locator('.beside-host canvas').count(), PATIENCE).toBe(2);
    const hour = page.getByLabel(/^Time after lighting/);
    await hour.fill(String(12 * 3_600_000));
    await page.getByText(/^Spring: 12:00.in, 18\d\d.°F/).waitFor(PATIENCE);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(320);
  });

  it('of the firing that burns one is chosen to stand beside it', async () => {
    const fake = await collector(18.5, { past: PAST, facts: FACTS });
    const page = await visit(fake);
    await page.goto(`${fake.url}#/compare/2031-03-08-long-meadow`);
    await page.getByRole('heading', { name: 'Which firing is to stand beside it?' }).waitFor(PATIENCE);
    await page.getByRole('link', { name: 'Spring' }).tap();
    await page.getByRole('heading', { name: 'Long Meadow, March, beside Spring' }).waitFor(PATIENCE);
    await page.getByText(/min ahead of Spring at this heat/).waitFor(PATIENCE);
  });
});
