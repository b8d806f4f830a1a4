/** Room on the screen and under the thumb: nothing is cut off, nothing moves that a hand is on its way to. */
import type { Locator, Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { hasChromium } from '../support/browser.ts';
import type { FakeCollector } from './fake-collector.ts';
import { answer, curve, entries, PATIENCE, pageInBrowser, says } from './in-browser.ts';
import { readingAt } from './pages.ts';
import { alertOf } from './story.ts';

describe.skipIf(!hasChromium())('room on the page (needs Chromium)', () => {
  const { collector, visit } = pageInBrowser();

  const topOf = async (target: Locator) => (await target.boundingBox())?.y ?? Number.NaN;
  const uneven = (fake: FakeCollector) =>
    alertOf(
      'uneven',
      'look-soon',
      Math.round(fake.now()),
      'For half an hour front has been much hotter than back. Move the damper a little, then wait two or three stokes.',
    );
  const raise = async (fake: FakeCollector, page: Page) => {
    fake.tell({ type: 'alert', at: Math.round(fake.now()), state: 'raised', alert: uneven(fake) });
    await says(page, 'much hotter than back');
  };

  it.each([
    ['a small phone', 320, 700, '100%'],
    ['a phone', 390, 844, '100%'],
    ['a phone with letters of double size', 390, 844, '200%'],
    ['a laptop', 1280, 800, '100%'],
  ])(
    'on %s nothing lies beyond the edge and everything can be hit with a glove',
    async (_, width, height, letters) => {
      const fake = await collector(15.9);
      const alert = alertOf(
        'uneven',
        'look-soon',
        Math.round(fake.now()),
        'Front is hotter than back by 130 °F.',
      );
      const page = await visit(fake, { width, height });
      await page.evaluate((size) => {
        document.documentElement.style.fontSize = size;
      }, letters);
      fake.tell(
        readingAt(Math.round(fake.now()), 0, {
          kiln: { smoothC: 1229, climbCPerH: -165, climbSdCPerH: 4 },
          stage: 'salting',
        }),
      );
      fake.tell({ type: 'alert', at: Math.round(fake.now()), state: 'raised', alert });
      await says(page, 'Front is hotter');
      await page.getByTestId('climb').filter({ hasText: '−297' }).waitFor(PATIENCE);
      const cut = await page.evaluate((edge) => {
        const range = document.createRange();
        return [...document.querySelectorAll('.figure p, .sentence p, .facts dd')].flatMap((words) => {
          range.selectNodeContents(words);
          return range.getBoundingClientRect().right > edge ? [words.textContent] : [];
        });
      }, width);
      expect(cut).toEqual([]);
      await page.getByRole('button', { name: 'Arrange' }).tap();
      const small = await page.evaluate(() =>
        [...document.querySelectorAll('button, a, input, select, textarea')]
          .map((target) => ({ words: target.textContent, box: target.getBoundingClientRect() }))
          .filter(({ box }) => box.width < 48 || box.height < 48)
          .map(({ words, box }) => `${words}: ${Math.round(box.width)} × ${Math.round(box.height)}`),
      );
      expect(small).toEqual([]);
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(width);
      await page.getByRole('link', { name: 'Past firings' }).tap();
      await page
        .getByRole('link', { name: /Watch it again$/ })
        .first()
        .waitFor(PATIENCE);
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(width);
    },
  );

  it.each([
    ['that holds a scrolled page in its place', true],
    ['that does not (Safari)', false],
  ])('in a browser %s no button moves under the thumb when an alert comes', async (_, holds) => {
    const fake = await collector(13);
    const page = await visit(fake, { width: 390, height: 844 }, async (context) => {
      if (holds) return;
      await context.addInitScript(() => {
        const supports = CSS.supports.bind(CSS);
        CSS.supports = (...about: [string, string?]) =>
          about[0] === 'overflow-anchor' ? false : supports(about[0], about[1] ?? '');
        addEventListener('DOMContentLoaded', () => {
          document.documentElement.style.setProperty('overflow-anchor', 'none');
        });
      });
    });
    fake.tell(readingAt(Math.round(fake.now()), 0));
    await page.getByTestId('climb').waitFor(PATIENCE);
    const damper = page.getByRole('button', { name: 'Damper half' });
    const stoke = page.getByRole('button', { name: 'Stoke, left hole' });
    await damper.evaluate((button) => button.scrollIntoView({ block: 'center' }));
    // The newest reading is drawn before anything is measured.
    await page.evaluate(
      () => new Promise((drawn) => requestAnimationFrame(() => requestAnimationFrame(drawn))),
    );
    const before = [await topOf(damper), await topOf(stoke)];
    await raise(fake, page);
    await expect
      .poll(async () => Math.abs((await topOf(damper)) - (before[0] ?? 0)), PATIENCE)
      .toBeLessThan(1.5);
    expect(await topOf(stoke)).toBe(before[1]);
  });

  it('on a wide screen a call moves neither hand of the salting page', async () => {
    const fake = await collector(16);
    const page = await visit(fake, { width: 1280, height: 800 });
    await page.evaluate(() => {
      location.hash = '#/salting';
    });
    const hands = [
      page.getByRole('button', { name: /^Salt, .*left hole/ }),
      page.getByRole('button', { name: /^Stoke, .*right hole/ }),
    ];
    await page.locator('.tend-glance').waitFor(PATIENCE);
    const before = await Promise.all(hands.map(topOf));
    fake.tell({ type: 'alert', at: Math.round(fake.now()), state: 'raised', alert: uneven(fake) });
    await page.locator('.now-strip').waitFor(PATIENCE);
    expect(await Promise.all(hands.map(topOf))).toEqual(before);
  });

  it('on a wide screen a longer sentence moves nothing, and the whole curve lies on the first screen', async () => {
    const fake = await collector(13);
    const page = await visit(fake, { width: 1280, height: 800 });
    fake.tell(readingAt(Math.round(fake.now()), 0));
    await page.getByTestId('climb').waitFor(PATIENCE);
    const parts = [
      curve(page),
      page.getByRole('button', { name: 'Stoke, right hole' }),
      page.getByTestId('figure'),
    ];
    const before = await Promise.all(parts.map(topOf));
    await raise(fake, page);
    expect(await Promise.all(parts.map(topOf))).toEqual(before);
    const box = await curve(page).boundingBox();
    expect((box?.y ?? 0) + (box?.height ?? 0)).toBeLessThanOrEqual(800);
  });

  it.each([
    [390, 844],
    [390, 664],
    [320, 568],
  ])(
    'on %i × %i sentence, figure, climb, age and hands stand on the first screen, an alert as well',
    async (width, height) => {
      const fake = await collector(11);
      const page = await visit(fake, { width, height });
      fake.tell(readingAt(Math.round(fake.now()), 0));
      await raise(fake, page);
      const hands = await topOf(page.locator('.hands'));
      expect(hands).toBeLessThan(height - 48);
      for (const part of ['sentence', 'kiln-temp', 'climb', 'age']) {
        const box = await page.getByTestId(part).boundingBox();
        expect((box?.y ?? 0) + (box?.height ?? 0), `${part} above the hands`).toBeLessThanOrEqual(hands);
      }
      // One swipe of three quarters of the screen brings the curve up.
      expect(await topOf(curve(page))).toBeLessThan(1.75 * height);
    },
  );

  it('at salting a phone shows heat, climb, age, the salt and the newest of the curve on its first screen', async () => {
    const fake = await collector(16);
    const page = await visit(fake);
    const kiln = { smoothC: 1263, climbCPerH: -165, climbSdCPerH: 4 };
    fake.tell(readingAt(Math.round(fake.now()), 0, { stage: 'salting', kiln }));
    await page.getByTestId('climb').filter({ hasText: '−297' }).waitFor(PATIENCE);
    const hands = await topOf(page.getByRole('button', { name: /^Salt, left hole/ }));
    for (const part of ['kiln-temp', 'climb', 'age']) {
      const box = await page.getByTestId(part).boundingBox();
      expect((box?.y ?? 0) + (box?.height ?? 0), `${part} above the hands`).toBeLessThanOrEqual(hands);
    }
    // Room for the hottest 1000 °F of the curve, where salting happens.
    expect(hands - (await topOf(curve(page)))).toBeGreaterThan(150);
  });

  it('brings the salt in above the stoke, which stays where it was', async () => {
    const fake = await collector(11);
    const page = await visit(fake);
    const stoke = page.getByRole('button', { name: 'Stoke, left hole' });
    const salt = page.getByRole('button', { name: /^Salt, left hole/ });
    fake.tell(
      readingAt(Math.round(fake.now()), 0, { kiln: { smoothC: 930, climbCPerH: 60, climbSdCPerH: 4 } }),
    );
    await page.getByTestId('climb').waitFor(PATIENCE);
    expect(await salt.count()).toBe(0);
    const before = await topOf(stoke);
    fake.tell(
      readingAt(Math.round(fake.now()) + 1000, 0, {
        kiln: { smoothC: 1010, climbCPerH: 60, climbSdCPerH: 4 },
      }),
    );
    await salt.waitFor(PATIENCE);
    expect(await topOf(stoke)).toBe(before);
    expect(await topOf(salt)).toBeLessThan(before);
  });

  it('does not take a thumb that was on its way for the answer to a call that has just come', async () => {
    const fake = await collector(13);
    const page = await visit(fake);
    await page.evaluate(() => {
      const watcher = new MutationObserver(() => {
        const heard = document.querySelector<HTMLElement>('.sentence .press');
        if (!heard) return;
        watcher.disconnect();
        heard.click();
        document.body.dataset.pressed = 'yes';
      });
      watcher.observe(document.body, { childList: true, subtree: true });
    });
    await raise(fake, page);
    await page.locator('body[data-pressed]').waitFor(PATIENCE);
    expect(entries(fake, 'ack')).toEqual([]);
    await answer(fake, page);
    expect(entries(fake, 'ack')).toHaveLength(1);
    await page.getByTestId('sentence').filter({ hasText: 'heard at' }).waitFor(PATIENCE);
  });

  it.each(['#/nowhere', '#/%E0%A4%A'])(
    'says of %s that there is no such page, and shows the kiln',
    async (hash) => {
      const fake = await collector(13);
      const page = await visit(fake);
      await page.evaluate((where) => {
        location.hash = where;
      }, hash);
      await page.getByText('There is no page at this address').waitFor(PATIENCE);
      await page.getByTestId('kiln-temp').waitFor(PATIENCE);
      await page.getByRole('link', { name: 'Now' }).tap();
      await page.getByText('There is no page at this address').waitFor({ state: 'detached', ...PATIENCE });
    },
  );

  it('tells whoever looks at a past firing what the kiln wants now', async () => {
    const fake = await collector(13);
    const page = await visit(fake);
    await page.getByRole('link', { name: 'Past firings' }).tap();
    const strip = page.getByRole('link', { name: /^At the kiln now: For half an hour front/ });
    fake.tell({ type: 'alert', at: Math.round(fake.now()), state: 'raised', alert: uneven(fake) });
    await strip.tap(PATIENCE);
    await says(page, 'much hotter than back');
  });
});
