/** Each language of the page is whole, and the page stands in it: in German, from right to left, and in letters twice as large. */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { AxeResults } from 'axe-core';
import type { BrowserContext, Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import * as de from '../../dashboard/words/de.ts';
import * as en from '../../dashboard/words/en.ts';
import { languageFor, localeFor } from '../../dashboard/words/language.ts';
import { countIn } from '../../dashboard/words/language-facts.ts';
import { hasChromium } from '../support/browser.ts';
import { PATIENCE, pageInBrowser } from './in-browser.ts';

/** Every word by its path, and every function of words with its number of arguments. */
function leaves(value: unknown, path = ''): Map<string, unknown> {
  if (typeof value !== 'object' || value === null) return new Map([[path, value]]);
  return new Map(Object.entries(value).flatMap(([key, inner]) => [...leaves(inner, `${path}.${key}`)]));
}

const ENGLISH = leaves({ ...en });
const GERMAN = leaves({ ...de });

/** What those want that take more than a word or a figure. */
const SPECIAL: Readonly<Record<string, readonly unknown[]>> = {
  '.ENTRY.draw': [['3']],
  '.TIME.fromTo': ['3', '4', 'hours'],
  '.TIME.upTo': ['3', 'hours'],
};

describe('German', () => {
  it('has every word that English has, and no other', () => {
    expect(ENGLISH.size).toBeGreaterThan(600);
    expect([...GERMAN.keys()].sort()).toEqual([...ENGLISH.keys()].sort());
  });

  it('puts as much into each sentence', () => {
    const numbers = ['3', '4', '5', '6', '7'];
    for (const [path, words] of ENGLISH) {
      const german = GERMAN.get(path);
      expect(typeof german, path).toBe(typeof words);
      if (typeof words !== 'function' || typeof german !== 'function') continue;
      const args = SPECIAL[path] ?? numbers;
      for (const [index, put] of numbers.slice(0, words.length).entries()) {
        if (!args.flat().includes(put)) continue;
        const inEnglish = String(words(...args)).includes(put);
        expect(String(german(...args)).includes(put), `${path}, ${index}`).toBe(inEnglish);
      }
    }
  });

  it('says nothing in English: no words of two letters and more are alike but those that are so in both', () => {
    const alike = [...ENGLISH].filter(
      ([path, words]) =>
        typeof words === 'string' && /[a-z]{2}.*[a-z]/i.test(words) && GERMAN.get(path) === words,
    );
    const BOTH = ['neutral', 'Spyhole', 'Plan', 'Webhook', 'Letter', 'ltr'];
    expect(alike.filter(([, words]) => !BOTH.includes(String(words)))).toEqual([]);
  });
});

describe('the language', () => {
  it.each([
    [['de-AT', 'en'], 'de', 'de-AT'],
    [['fr', 'DE'], 'de', 'DE'],
    [['en-US', 'de'], 'en', 'en-US'],
    [['fr-CA'], 'en', 'en-GB'],
    [[], 'en', 'en-GB'],
    // Of another language that begins alike (Dhivehi's 'dv' aside, 'den' is Slave).
    [['den'], 'en', 'en-GB'],
  ] as const)('of somebody who wants %j is %s, with the dates of %s', (wanted, language, locale) => {
    expect(languageFor(wanted)).toBe(language);
    expect(localeFor(languageFor(wanted), wanted, 'en-GB')).toBe(locale);
  });

  it('counts as Unicode CLDR has it: English and German tell one from many', () => {
    for (const language of ['en', 'de'])
      expect([0, 1, 2, 21].map((n) => countIn(language)(n, { one: 'one', other: 'many' }))).toEqual([
        'many',
        'one',
        'many',
        'many',
      ]);
    // What a language does not tell apart falls back to `other`: Japanese has but that.
    expect(countIn('ja')(1, { one: 'one', other: 'many' })).toBe('many');
  });
});

const AXE = createRequire(import.meta.url).resolve('axe-core/axe.min.js');
const inGerman = async (context: BrowserContext) => {
  await context.addInitScript(() => {
    if (localStorage.getItem('spyhole.language') === null) localStorage.setItem('spyhole.language', 'de');
  });
};
const goTo = async (page: Page, hash: string) => {
  await page.evaluate((where) => {
    location.hash = where;
  }, hash);
  await page.getByRole('heading', { level: 2 }).first().waitFor(PATIENCE);
};
const width = (page: Page) => page.evaluate(() => document.documentElement.scrollWidth);
/** What makes a page wider than its window. */
const wide = (page: Page) =>
  page.evaluate(() =>
    [...document.querySelectorAll('body *')]
      .filter((box) => box.getBoundingClientRect().right > innerWidth + 1 && !box.closest('.unseen'))
      .map((box) => `${box.tagName} ${box.className}: ${box.textContent?.slice(0, 60)}`),
  );
/** Words that reach beyond the page on either side, or are cut off by their own box. */
const cut = (page: Page) =>
  page.evaluate(() =>
    [
      ...document.querySelectorAll(
        'main p, main dd, main dt, main button, main a, main h2, header a, header button',
      ),
    ]
      .filter((box) => {
        const { left, right, width } = box.getBoundingClientRect();
        if (width < 2) return false;
        return left < -1 || right > innerWidth + 1 || box.scrollWidth > box.clientWidth + 2;
      })
      .filter((box) => getComputedStyle(box).display !== 'inline' && !box.closest('.unseen, .sheet'))
      .map((box) => `${box.tagName} ${box.className}: ${box.textContent}`),
  );
const PAGES = ['#/', '#/salting', '#/stoking', '#/plan', '#/past'];

describe.skipIf(!hasChromium())('the page (needs Chromium)', () => {
  const { collector, visit } = pageInBrowser();

  it('in German has nothing that axe finds wrong, room enough on a phone, and goes back to English', async () => {
    const fake = await collector(16);
    const page = await visit(fake, { width: 390, height: 844 }, inGerman);
    expect(await page.evaluate(() => document.documentElement.lang)).toBe('de');
    await page.getByRole('button', { name: 'Schüren, Schürloch links' }).waitFor(PATIENCE);
    await page.evaluate(readFileSync(AXE, 'utf8'));
    for (const hash of PAGES) {
      await goTo(page, hash);
      const found = await page.evaluate(async (): Promise<AxeResults['violations']> => {
        const { axe } = window as unknown as { axe: typeof import('axe-core') };
        return (await axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21aa', 'wcag22aa'] }))
          .violations;
      });
      expect(found.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html).join(' ')}`)).toEqual([]);
      expect(await width(page), hash).toBeLessThanOrEqual(390);
      expect(await cut(page), hash).toEqual([]);
    }
    await page.getByRole('button', { name: 'English' }).tap();
    await page.getByRole('link', { name: 'Past firings' }).waitFor(PATIENCE);
    expect(await page.evaluate(() => document.documentElement.lang)).toBe('en');
  });

  it.each([
    ['from right to left, on a small phone', 320, 'rtl', ''],
    ['in letters twice as large', 390, 'ltr', '200%'],
  ])('%s runs over no edge and cuts nothing off', async (_, px, dir, size) => {
    const fake = await collector(16);
    const page = await visit(fake, { width: px, height: 844 }, inGerman);
    await page.evaluate(
      ([way, large]) => {
        document.documentElement.dir = way ?? '';
        document.documentElement.style.fontSize = large ?? '';
      },
      [dir, size],
    );
    for (const hash of PAGES) {
      await goTo(page, hash);
      if (dir === 'ltr') expect(await wide(page), hash).toEqual([]);
      expect(await width(page), hash).toBeLessThanOrEqual(px);
      expect(await cut(page), hash).toEqual([]);
    }
  });
});
