/** The page without the collector: its worker opens it, and it shows what was known last and says of when that is. */
import { readFileSync, renameSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { buildPage } from '../../dashboard/build.mjs';
import { hasChromium } from '../support/browser.ts';
import { tempFolder } from '../support/collector.ts';
import { curve, PATIENCE, pageInBrowser, rows, says } from './in-browser.ts';
import { readingAt } from './pages.ts';

const WITH_WORKER = { worker: true };

describe.skipIf(!hasChromium())('without the collector (needs Chromium)', () => {
  const { collector, visit } = pageInBrowser();

  it('opens all the same, with the curve, the log book and the figures of then, and says so', async () => {
    const fake = await collector(13);
    const page = await visit(fake, undefined, undefined, WITH_WORKER);
    fake.tell(readingAt(Math.round(fake.now()), 0));
    await page.getByTestId('kiln-temp').filter({ hasText: '1832' }).waitFor(PATIENCE);
    await expect.poll(() => rows(page), PATIENCE).toBeGreaterThan(700);
    const before = await rows(page);
    await page.evaluate(() => navigator.serviceWorker.ready);
    // What is known is kept when the page is put away.
    await page.evaluate(() => {
      Object.defineProperty(document, 'hidden', { value: true });
      document.dispatchEvent(new Event('visibilitychange'));
    });
    const kept = () =>
      page.evaluate(
        () =>
          new Promise((resolve) => {
            const opening = indexedDB.open('keyval-store');
            opening.onsuccess = () => {
              const count = opening.result.transaction('keyval').objectStore('keyval').getAllKeys();
              count.onsuccess = () =>
                resolve(count.result.map(String).filter((key) => key.startsWith('known')));
            };
          }),
      );
    await expect.poll(kept, PATIENCE).toEqual(['known ']);

    fake.open = false;
    await page.context().setOffline(true);
    await page.reload();
    await says(page, /No word from the kiln's computer for \d/);
    await says(page, /Not connected: this is what was known at \d/);
    await page.getByTestId('kiln-temp').filter({ hasText: '1832' }).waitFor(PATIENCE);
    expect(await rows(page)).toBe(before);
    await curve(page).waitFor(PATIENCE);
    await page.getByRole('heading', { name: 'Log book' }).waitFor(PATIENCE);
    expect(await page.locator('.log-lines li').count()).toBeGreaterThan(3);
    // What is past is not in this phone, and is not made up.
    await page.getByRole('link', { name: 'Past firings' }).click();
    await page.getByText('This page could not be fetched.').waitFor(PATIENCE);
    await page.getByRole('link', { name: 'Now', exact: true }).click();

    await page.context().setOffline(false);
    const greetings = () => fake.heard.filter(({ type }) => type === 'greet').length;
    const greeted = greetings();
    await page.reload();
    fake.open = true;
    await expect.poll(greetings, PATIENCE).toBeGreaterThan(greeted);
    fake.tell(readingAt(Math.round(fake.now()), 0));
    await says(page, 'Climbing');
    // The only welcome is the collector's own: of what was kept nothing is asked on.
    expect(
      fake.heard
        .filter(({ type }) => type === 'greet')
        .every((greet) => 'run' in greet && greet.run === null),
    ).toBe(true);
  });

  it('never answers from the worker what only the collector can know', async () => {
    const fake = await collector(13);
    const page = await visit(fake, undefined, undefined, WITH_WORKER);
    await page.evaluate(() => navigator.serviceWorker.ready);
    await page.reload();
    await page.getByTestId('figure').waitFor(PATIENCE);
    const stored = await page.evaluate(async () => {
      const names = await caches.keys();
      const each = names.map(async (name) =>
        (await (await caches.open(name)).keys()).map(({ url }) => new URL(url).pathname),
      );
      return (await Promise.all(each)).flat();
    });
    expect(stored).toContain('/index.html');
    expect(stored.filter((path) => path.startsWith('/api') || path === '/live')).toEqual([]);
    expect(new Set(stored).size).toBe(stored.length);
  });

  it('gives way to a new build at once: the page, its worker and what is kept', async () => {
    const folder = tempFolder();
    onTestFinished(folder.remove);
    const { files } = await buildPage(folder.path);
    const fake = await collector(13, { pageFolder: folder.path });
    const page = await visit(fake, undefined, undefined, WITH_WORKER);
    await page.evaluate(() => navigator.serviceWorker.ready);
    const scripts = () =>
      page.locator('script').evaluateAll((all) => all.map((one) => one.getAttribute('src')));
    const before = files.find((name) => name.startsWith('main-') && name.endsWith('.js')) ?? '';
    expect(await scripts()).toEqual([before]);
    // The same page under another digest, as a change of it would make it.
    const after = 'main-NEWBUILD.js';
    renameSync(join(folder.path, before), join(folder.path, after));
    for (const name of ['index.html', 'worker.js']) {
      const path = join(folder.path, name);
      const text = readFileSync(path, 'utf8').replaceAll(before, after);
      writeFileSync(path, text.replace(/version:"[0-9a-f]{16}"/, 'version:"another one"'));
    }
    await page.reload();
    await page.getByTestId('figure').waitFor(PATIENCE);
    expect(await scripts()).toEqual([after]);
    await expect
      .poll(() => page.evaluate(() => caches.keys()), PATIENCE)
      .toEqual(['spyhole-shell-another one']);
    await page.context().setOffline(true);
    await page.reload();
    await page.getByRole('heading', { level: 1 }).waitFor(PATIENCE);
    expect(await scripts()).toEqual([after]);
  });

  it('is installed under a name and with icons that are there', async () => {
    const fake = await collector(13);
    const page = await visit(fake);
    const manifest = await page.evaluate(async () => {
      const link = document.querySelector<HTMLLinkElement>('link[rel="manifest"]');
      const text = await (await fetch(link?.href ?? '')).json();
      const icons = await Promise.all(
        text.icons.map(async ({ src, sizes }: { src: string; sizes: string }) => {
          const image = new Image();
          image.src = src;
          await image.decode();
          return [sizes, image.naturalWidth];
        }),
      );
      return { ...text, icons };
    });
    expect(manifest).toMatchObject({
      short_name: 'Spyhole',
      display: 'standalone',
      start_url: './',
      scope: '/',
    });
    expect(manifest.icons.filter(([sizes]: [string]) => sizes !== 'any')).toEqual([
      ['192x192', 192],
      ['512x512', 512],
      ['512x512', 512],
    ]);
    const touch = await page.locator('link[rel="apple-touch-icon"]').getAttribute('href');
    expect((await page.request.get(new URL(touch ?? '', fake.url).href)).status()).toBe(200);
  });
});
