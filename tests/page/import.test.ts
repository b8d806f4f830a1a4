/** A firing from elsewhere, taken over on the page: the real page, the real server, a file of our own. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { createFiringList } from '../../collector/archive/firing-list.ts';
import { createImportBook } from '../../collector/import/book.ts';
import { createPastFirings } from '../../collector/server/past-firings.ts';
import { buildPage } from '../../dashboard/build.mjs';
import { roleOf, withKind, withRole } from '../../dashboard/import/roles.ts';
import { type Mapping, mappingSchema } from '../../protocol/imports.ts';
import { serve } from '../server/support.ts';
import { hasChromium, openBrowser } from '../support/browser.ts';

const PATIENCE = { timeout: 30_000 };
const MAPPING: Mapping = mappingSchema.parse({
  name: 'old',
  encoding: 'utf-8',
  delimiter: ',',
  decimal: '.',
  skipRows: 1,
  time: { kind: 'clock', columns: [0], order: 'ymd', zone: 'UTC' },
  unit: 'C',
  probes: [{ column: 2, name: 'front' }],
});

describe('the roles of the columns', () => {
  it('are what the mapping says', () => {
    expect([0, 1, 2].map((column) => roleOf(MAPPING, column))).toEqual(['time', 'unused', 'heat']);
  });

  it.each([
    ['a second column of time is the time beside the date', 1, 'time', { columns: [0, 1] }, ['front']],
    ['a heat is named so that no name is there twice', 1, 'heat', { columns: [0] }, ['front', 'probe-2']],
    ['a heat can be left out', 2, 'unused', { columns: [0] }, []],
    ['the last time stays', 0, 'unused', { columns: [0] }, ['front']],
    ['a heat can be a time', 2, 'time', { columns: [0, 2] }, []],
  ] as const)('%s', (_, column, role, time, names) => {
    const changed = withRole(MAPPING, column, role);
    expect(changed.time).toMatchObject(time);
    expect(changed.probes.map(({ name }) => name)).toEqual(names);
  });

  it('keep their column where the times are written in another way', () => {
    const since = withKind(MAPPING, 'since', '2031-03-08T06:00', 'UTC');
    expect(mappingSchema.parse(since).time).toMatchObject({ kind: 'since', column: 0 });
    expect(withKind(since, 'epoch', '', '').time).toMatchObject({ kind: 'epoch', column: 0 });
    expect(withKind(withKind(since, 'epoch', '', ''), 'clock', '', 'UTC').time).toMatchObject({
      columns: [0],
    });
  });
});

describe.skipIf(!hasChromium())('taking a firing over (needs Chromium)', () => {
  const home = mkdtempSync(join(tmpdir(), 'spyhole-import-page-'));
  const data = join(home, 'firings');
  let browser: Browser;
  beforeAll(async () => {
    await buildPage(join(home, 'page'));
    browser = await openBrowser();
  });
  afterAll(async () => {
    await browser?.close();
    rmSync(home, { recursive: true, force: true });
  });

  it('a file is chosen, its columns are put right, what comes of it is seen, and it is a firing', async () => {
    const firings = createPastFirings(data, () => undefined, createImportBook(data, 'UTC'));
    const { port } = await serve({ firings, staticFolder: join(home, 'page') });
    const page = await browser.newPage({
      viewport: { width: 390, height: 844 },
      locale: 'en-GB',
      timezoneId: 'UTC',
    });
    await page.goto(`http://127.0.0.1:${port}/#/past`);
    await page.getByRole('link', { name: 'Take over a firing from elsewhere' }).click(PATIENCE);
    const rows = Array.from({ length: 60 }, (_, i) => `${i};${20 + i * 8},5;${i === 30 ? 'OPEN' : 30 + i}`);
    await page.getByLabel('The file').setInputFiles({
      name: 'autumn.csv',
      mimeType: 'text/csv',
      buffer: Buffer.from(`Minuten;Vorne °C;Hinten °C\n${rows.join('\n')}\nthe end\n`),
    });
    await page.getByText('Found: semicolons between the columns').waitFor(PATIENCE);
    const between = page.getByLabel('Between the columns stand');
    await between.selectOption('spaces');
    await page.getByText('No column of times').waitFor(PATIENCE);
    await between.selectOption('semicolons');
    await page.getByText('Found: semicolons between the columns').waitFor(PATIENCE);
    await page.getByLabel('Name of the probe').first().fill('front-low');
    await page.getByLabel('The firing began').fill('2031-03-08T06:30');
    await page.getByLabel('Name of the firing').fill('Autumn, the first');
    await page.getByRole('button', { name: 'See what comes of it' }).click();
    await page.getByText('60 readings, from 8 March 2031').waitFor(PATIENCE);
    await page.getByText('Rows without a time, left out: 1.').waitFor(PATIENCE);
    await page.getByText('Times that say no zone are taken as those of UTC.').waitFor(PATIENCE);
    await page.getByLabel('Time zone').fill('America/New_York');
    await page.getByRole('button', { name: 'See what comes of it' }).click();
    await page.getByText('are taken as those of America/New_York.').waitFor(PATIENCE);
    await page.getByText(/^front-low: 21.°C to 493.°C$/).waitFor(PATIENCE);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(390);
    await page.getByRole('button', { name: 'Take it over' }).click();
    await page.getByRole('link', { name: 'Look at it' }).click(PATIENCE);
    await page.getByText('This is a past firing: Autumn, the first').waitFor(PATIENCE);
    expect((await createFiringList(data)()).map(({ id }) => id)).toEqual(['2031-03-08-autumn-the-first']);
  });
});
