/** WCAG 2.2 AA as far as a machine can see it (axe-core), in each room of the page, by day and by night. */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { AxeResults } from 'axe-core';
import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { hasChromium } from '../support/browser.ts';
import { PATIENCE, pageInBrowser } from './in-browser.ts';
import { FACTS, PAST } from './learn-story.ts';

const AXE = createRequire(import.meta.url).resolve('axe-core/axe.min.js');
const WCAG = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'];

/** Hours into the firing, so that each stage with words and buttons of its own is seen. */
const ROOMS = [
  { room: 'before anything is lit', hash: '#/', hoursIn: -0.1 },
  { room: 'the climbing kiln', hash: '#/', hoursIn: 13 },
  { room: 'the kiln that is salted', hash: '#/', hoursIn: 16 },
  { room: 'the cooling kiln', hash: '#/', hoursIn: 18.5 },
  { room: 'the salting page', hash: '#/salting', hoursIn: 16 },
  { room: 'the stoking page', hash: '#/stoking', hoursIn: 13 },
  { room: 'plan and load', hash: '#/plan', hoursIn: 13 },
  { room: 'taking a firing over', hash: '#/import', hoursIn: 13 },
  { room: 'the firing sheet', hash: '#/past/2031-03-08-long-meadow/sheet', hoursIn: 18.5 },
  { room: 'what has called', hash: '#/alerts', hoursIn: 13 },
  { room: 'the page that reads the board', hash: '#/link', hoursIn: 13 },
  { room: 'past firings', hash: '#/past', hoursIn: 13, ready: '.together' },
  {
    room: 'firings beside each other',
    hash: '#/compare/2031-03-08-long-meadow/a',
    hoursIn: 18.5,
    ready: 'canvas',
  },
] as const;

/**
 * Label in name (WCAG 2.2, 2.5.3): who says what stands on a button must reach it. axe's own rule for it is still an
 * experiment and takes parts of a label on two lines for one word; capitals and stops do not count, as the criterion
 * has it.
 */
const unlikeTheirNames = (page: Page) =>
  page.evaluate(() => {
    const letters = (text: string) => text.toLowerCase().replace(/[^\p{Letter}\p{Nd}]/gu, '');
    return [...document.querySelectorAll('button[aria-label], a[aria-label]')]
      .filter(
        (one) => !letters(one.getAttribute('aria-label') ?? '').includes(letters(one.textContent ?? '')),
      )
      .map((one) => `${one.textContent} / ${one.getAttribute('aria-label')}`);
  });

describe.skipIf(!hasChromium())('what axe finds wrong (needs Chromium)', () => {
  const { collector, visit } = pageInBrowser();

  it.each(ROOMS)('is nothing, by day and by night: $room', async ({ hash, hoursIn, ...room }) => {
    const fake = await collector(hoursIn, { past: PAST, facts: FACTS });
    const page = await visit(fake);
    await page.evaluate((where) => {
      location.hash = where;
    }, hash);
    await page.getByRole('heading', { level: 2 }).first().waitFor(PATIENCE);
    if ('ready' in room) await page.locator(room.ready).first().waitFor(PATIENCE);
    // As the page allows no scripts but its own, axe comes in through the debugger.
    await page.evaluate(readFileSync(AXE, 'utf8'));
    for (const colorScheme of ['light', 'dark'] as const) {
      await page.emulateMedia({ colorScheme });
      // The curve is drawn a moment after the look has changed.
      await page.waitForTimeout(200);
      const found = await page.evaluate(async (tags): Promise<AxeResults['violations']> => {
        const { axe } = window as unknown as { axe: typeof import('axe-core') };
        const rules = { 'label-content-name-mismatch': { enabled: false } };
        return (await axe.run(document, { runOnly: tags, rules, resultTypes: ['violations'] })).violations;
      }, WCAG);
      expect(await unlikeTheirNames(page)).toEqual([]);
      expect(
        found.map(({ id, nodes }) => `${colorScheme}: ${id}: ${nodes.map(({ html }) => html).join(' ')}`),
      ).toEqual([]);
    }
  });
});
