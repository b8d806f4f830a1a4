/** The check before lighting on the page: asked for while somebody looks, in words, and the cable tried by a held press. */
import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import type { BoardFacts } from '../../protocol/board-facts.ts';
import { goodFacts, goodProbe } from '../board-check/facts.ts';
import { hasChromium } from '../support/browser.ts';
import type { FakeCollector } from './fake-collector.ts';
import { PATIENCE, pageInBrowser } from './in-browser.ts';

/** Ten minutes before the fire is lit. */
const BEFORE = -0.1;

const checks = (fake: FakeCollector) =>
  fake.heard.flatMap((message) => (message.type === 'check' ? [message.cable] : []));
const verdict = (page: Page) => page.getByTestId('verdict').textContent(PATIENCE);

async function toCheck(page: Page): Promise<void> {
  await page.getByRole('link', { name: 'Check the board' }).tap(PATIENCE);
  await page.getByRole('heading', { name: 'The check before lighting' }).waitFor(PATIENCE);
}

describe.skipIf(!hasChromium())('the check before lighting (needs Chromium)', () => {
  const { collector, visit } = pageInBrowser();

  it('leads to it while the kiln is not lit, asks on while one looks, and stops when one leaves', async () => {
    const fake = await collector(BEFORE, { boards: [goodFacts()] });
    const page = await visit(fake);
    expect(checks(fake)).toEqual([]);
    await toCheck(page);
    await expect.poll(() => verdict(page), PATIENCE).toBe('Fit for a firing.');
    await expect.poll(() => checks(fake).length, PATIENCE).toBeGreaterThan(2);
    await page.getByRole('link', { name: 'Back to the kiln' }).tap();
    await page.getByTestId('figure').waitFor(PATIENCE);
    const asked = checks(fake).length;
    // In so long a page that still asked would have asked twice; one question may have been on its way.
    const leftAt = await page.evaluate(() => performance.now());
    await expect.poll(() => page.evaluate(() => performance.now()), PATIENCE).toBeGreaterThan(leftAt + 2_500);
    expect(checks(fake).length).toBeLessThanOrEqual(asked + 1);
    expect(new Set(checks(fake))).toEqual(new Set([null]));
  });

  it('says of each probe and of the board what is so, in the unit that one has chosen', async () => {
    const facts: BoardFacts = goodFacts({
      hello: { board: 'shed-1', boot: '9F00C2A1', periodMs: 1000, keeps: 0 },
      probes: [
        goodProbe('low', { lastC: null, noiseC: null, faults: { open: 30 } }),
        goodProbe('high', { couple: 'S', lastC: 25 }),
      ],
    });
    const fake = await collector(BEFORE, { boards: [facts] });
    const page = await visit(fake);
    await toCheck(page);
    await expect.poll(() => verdict(page), PATIENCE).toBe('Not fit yet: low, the board.');
    const low = page.getByTestId('check-low');
    expect(await low.textContent()).toMatch(/low type K.*no figure.*mend.*its circuit is open/);
    const high = page.getByTestId('check-high');
    expect(await high.textContent()).toMatch(
      /high type S.*77\u00a0°F.*noise 0\.2\u00a0°F.*good.*reads 77\u00a0°F, steady/,
    );
    await page.getByText('It keeps no readings').waitFor(PATIENCE);
    await page.getByRole('button', { name: '°C and kilos' }).tap();
    await expect.poll(() => high.textContent(), PATIENCE).toMatch(/25\u00a0°C.*noise 0\.1\u00a0°C/);
  });

  it('tries the cable by a held press, and only before the kiln is lit', async () => {
    const fake = await collector(BEFORE, { boards: [goodFacts({ link: 'ttyUSB0' })] });
    const page = await visit(fake);
    await toCheck(page);
    const button = page.getByRole('button', { name: /^Try the cable/ });
    await button.tap(PATIENCE);
    await button.focus();
    await page.keyboard.down('Enter');
    await expect.poll(() => checks(fake).filter((cable) => cable !== null), PATIENCE).toEqual(['ttyUSB0']);
    await page.keyboard.up('Enter');

    const lit = await collector(3, { boards: [goodFacts()] });
    const later = await visit(lit);
    expect(await later.getByRole('link', { name: 'Check the board' }).count()).toBe(0);
    await later.goto(`${lit.url}#/check`);
    await expect.poll(() => verdict(later), PATIENCE).toBe('Fit for a firing.');
    expect(await later.getByRole('button', { name: /^Try the cable/ }).count()).toBe(0);
  });

  it('says that no board can be checked where there is none', async () => {
    const fake = await collector(BEFORE);
    const page = await visit(fake);
    await toCheck(page);
    await page.getByText('There is no board here that can be checked.').waitFor(PATIENCE);
  });
});
