/** The built page in a real headless Chromium, against a stand-in for the collector that keeps to the contract. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser, BrowserContext, Locator, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { buildPage } from '../../dashboard/build.mjs';
import { hasChromium, openBrowser } from '../support/browser.ts';
import { type FakeCollector, type FakeOptions, startFakeCollector } from './fake-collector.ts';
import { HOUR, MINUTE, readingAt } from './pages.ts';
import { alertOf, LIT_AT, recordAt, STALL_TEXT } from './story.ts';

const PATIENCE = { timeout: 20_000 };
const folder = mkdtempSync(join(tmpdir(), 'spyhole-page-'));

describe.skipIf(!hasChromium())('the page (needs Chromium)', () => {
  let browser: Browser;
  const open: { contexts: BrowserContext[]; fakes: FakeCollector[] } = { contexts: [], fakes: [] };
  /** What must not happen on any page: complaints of the browser, and requests to anywhere else. */
  let complaints: string[] = [];

  beforeAll(async () => {
    await buildPage(folder);
    browser = await openBrowser();
  });
  afterAll(async () => {
    await browser?.close();
    rmSync(folder, { recursive: true, force: true });
  });
  afterEach(async () => {
    for (const context of open.contexts.splice(0)) await context.close();
    for (const fake of open.fakes.splice(0)) await fake.close();
    const seen = complaints;
    complaints = [];
    expect(seen).toEqual([]);
  });

  async function collector(hoursIn: number, part: Partial<FakeOptions> = {}): Promise<FakeCollector> {
    const record = recordAt(hoursIn);
    const fake = await startFakeCollector({
      pageFolder: folder,
      record,
      now: LIT_AT + hoursIn * HOUR,
      ...part,
    });
    open.fakes.push(fake);
    return fake;
  }

  async function visit(
    fake: FakeCollector,
    size = { width: 390, height: 844 },
    prepare: (context: BrowserContext) => Promise<void> = async () => undefined,
  ): Promise<Page> {
    const context = await browser.newContext({ viewport: size, locale: 'en-US', hasTouch: true });
    open.contexts.push(context);
    await prepare(context);
    // Counts the tones that are started, whether or not this machine has a loudspeaker.
    await context.addInitScript(() => {
      const start = OscillatorNode.prototype.start;
      Object.assign(window, { tones: 0 });
      OscillatorNode.prototype.start = function (when?: number) {
        Object.assign(window, { tones: Number(Reflect.get(window, 'tones')) + 1 });
        start.call(this, when);
      };
    });
    const page = await context.newPage();
    page.on('pageerror', (error) => complaints.push(error.message));
    page.on('console', (message) => {
      // A socket that the test itself has cut is told of by the browser; everything else is a fault of the page.
      if (message.type() === 'error' && !/WebSocket connection/.test(message.text()))
        complaints.push(message.text());
    });
    page.on('request', (request) => {
      const { host, protocol } = new URL(request.url());
      if (protocol !== 'data:' && host !== new URL(fake.url).host) complaints.push(`asked ${request.url()}`);
    });
    await page.goto(fake.url);
    await page.getByTestId('figure').waitFor(PATIENCE);
    return page;
  }

  const says = (page: Page, text: string | RegExp) =>
    page.getByTestId('sentence').filter({ hasText: text }).waitFor(PATIENCE);
  const curve = (page: Page) => page.getByRole('slider', { name: /^Curve of the kiln/ });
  const rows = (page: Page) => curve(page).getAttribute('aria-valuemax').then(Number);
  const entries = (fake: FakeCollector, log: string) =>
    fake.heard.flatMap((message) =>
      message.type === 'log' && message.entry.log === log ? [message.entry] : [],
    );
  /** Answers the call at the top, as soon as its button listens. */
  const answer = (fake: FakeCollector, page: Page) =>
    expect
      .poll(async () => {
        const heard = page.getByRole('button', { name: /^Heard/ });
        if (await heard.count()) await heard.tap();
        return entries(fake, 'ack').length;
      }, PATIENCE)
      .toBe(1);
  const tones = (page: Page) => page.evaluate(() => Number(Reflect.get(window, 'tones')));

  it('shows a live reading as it comes, and how old it is', async () => {
    const fake = await collector(13);
    const page = await visit(fake);
    fake.tell(
      readingAt(Math.round(fake.now()), 0, { kiln: { smoothC: 1204.4, climbCPerH: 34.5, climbSdCPerH: 4 } }),
    );
    await page.getByTestId('kiln-temp').filter({ hasText: '2200' }).waitFor(PATIENCE);
    await says(page, 'Climbing 62\u00a0°F an hour.');
    const age = async () =>
      Number(/(\d+)/.exec((await page.getByTestId('age').textContent()) ?? '')?.[1] ?? 0);
    await expect.poll(age, PATIENCE).toBeGreaterThan(0);
    const first = await age();
    await expect.poll(age, PATIENCE).toBeGreaterThan(first);
    expect(await page.getByTestId('probe-front').textContent()).toContain('cone 05.7');
  });

  it('says when the board falls silent, and strikes the old figure', async () => {
    const fake = await collector(13, { rate: 60, source: 'demo' });
    const page = await visit(fake);
    await page.getByText('This is a demo kiln, running 60 times as fast as a real one.').waitFor(PATIENCE);
    fake.tell(readingAt(Math.round(fake.now()), 0));
    await says(page, 'No word from the board for');
    await page.getByTestId('age').filter({ hasText: 'OLD' }).waitFor(PATIENCE);
    const struck = await page
      .getByTestId('kiln-temp')
      .evaluate((figure) => getComputedStyle(figure).textDecorationLine);
    expect(struck).toBe('line-through');
  });

  it('says when the collector is not heard any more, and again that it is', async () => {
    const fake = await collector(13);
    const page = await visit(fake);
    fake.tell(readingAt(Math.round(fake.now()), 0));
    fake.mute = true;
    await says(page, /No word from the kiln's computer for \d+\u00a0seconds/);
    fake.mute = false;
    await says(page, 'Climbing');
  });

  it('comes back by itself after a cut, asks only for what it missed, and keeps its curve', async () => {
    const fake = await collector(13);
    const page = await visit(fake);
    fake.tell(readingAt(Math.round(fake.now()), 0));
    await page.getByTestId('kiln-temp').filter({ hasText: '1832' }).waitFor(PATIENCE);
    await expect.poll(() => rows(page), PATIENCE).toBeGreaterThan(700);
    const before = await rows(page);
    fake.hangUp();
    await expect.poll(() => fake.pages(), PATIENCE).toBe(0);
    expect(await rows(page)).toBe(before);
    const missed = readingAt(Math.round(fake.now()), 0, {
      kiln: { smoothC: 1010, climbCPerH: 60, climbSdCPerH: 4 },
    });
    fake.lose(missed);
    await page.getByTestId('kiln-temp').filter({ hasText: '1850' }).waitFor(PATIENCE);
    expect(await rows(page)).toBe(before + 1);
    expect(fake.heard.filter(({ type }) => type === 'greet')).toEqual([
      expect.objectContaining({ run: null, n: 0 }),
      expect.objectContaining({ run: 'run-1', n: 1 }),
    ]);
  });

  it('asks for what was lost on the way when it sees a gap', async () => {
    const fake = await collector(13);
    const page = await visit(fake);
    fake.lose(readingAt(Math.round(fake.now()), 0));
    fake.tell(
      readingAt(Math.round(fake.now()) + 1000, 0, {
        kiln: { smoothC: 1010, climbCPerH: 60, climbSdCPerH: 4 },
      }),
    );
    await page.getByTestId('kiln-temp').filter({ hasText: '1850' }).waitFor(PATIENCE);
    expect(fake.heard).toContainEqual({ type: 'since', n: 0 });
  });

  it('of another version says that it is old', async () => {
    const fake = await collector(13);
    const page = await visit(fake);
    fake.hangUp(4001);
    await says(page, 'This page is old: load it again.');
    await page.getByRole('button', { name: 'Load again' }).waitFor(PATIENCE);
  });

  it('writes a stoke down with one touch, and takes it back', async () => {
    const fake = await collector(13);
    const page = await visit(fake);
    await page.getByRole('button', { name: 'Stoke, left hole' }).tap();
    await page.getByRole('button', { name: /Take back: Stoked left/ }).waitFor(PATIENCE);
    await expect.poll(() => entries(fake, 'stoke'), PATIENCE).toHaveLength(1);
    const [stoke] = entries(fake, 'stoke');
    expect(stoke).toMatchObject({ hole: 'left', at: expect.stringMatching(/Z$/) });
    await page.getByRole('button', { name: /Take back: Stoked left/ }).tap();
    await expect
      .poll(() => entries(fake, 'undo'), PATIENCE)
      .toEqual([expect.objectContaining({ id: stoke?.id })]);
    await page.getByRole('listitem').filter({ hasText: 'taken back' }).first().waitFor(PATIENCE);
  });

  it('counts salt at once, in and to go', async () => {
    const fake = await collector(13);
    const page = await visit(fake);
    await page.getByRole('button', { name: /Salt, right hole/ }).tap();
    await page.getByText('0.2\u00a0lb').waitFor(PATIENCE);
    await expect
      .poll(() => entries(fake, 'salt'), PATIENCE)
      .toEqual([expect.objectContaining({ hole: 'right', g: 73 })]);
  });

  it('keeps what is pressed while the collector is away, over a closed page, and hands it over with its own time', async () => {
    const fake = await collector(13);
    const page = await visit(fake);
    fake.open = false;
    fake.hangUp();
    await expect.poll(() => fake.pages(), PATIENCE).toBe(0);
    const pressedAt = fake.now();
    await page.getByRole('button', { name: 'Stoke, right hole' }).tap();
    await page.getByText("One entry waits here until the kiln's computer is heard.").waitFor(PATIENCE);
    expect(entries(fake, 'stoke')).toEqual([]);
    fake.open = true;
    await page.reload();
    await expect.poll(() => entries(fake, 'stoke'), PATIENCE).toHaveLength(1);
    const at = Date.parse(String(entries(fake, 'stoke')[0]?.at));
    expect(Math.abs(at - pressedAt)).toBeLessThan(10_000);
  });

  it('says why an entry was not taken', async () => {
    const fake = await collector(13);
    fake.refuse = 'The disk is full: make room and press it again.';
    const page = await visit(fake);
    await page.getByRole('button', { name: 'Stoke, left hole' }).tap();
    await page.getByRole('alert').filter({ hasText: 'The disk is full' }).waitFor(PATIENCE);
  });

  it('wants the big steps held, by finger or by key, and lets a brush past be', async () => {
    const fake = await collector(17.5);
    const page = await visit(fake);
    const clamUp = page.getByRole('button', { name: /Clam-up/ });
    await clamUp.click();
    await clamUp.focus();
    await page.keyboard.down('Enter');
    await expect.poll(() => entries(fake, 'clam-up'), PATIENCE).toHaveLength(1);
    await page.keyboard.up('Enter');
    const endSalt = page.getByRole('button', { name: /Salt is done/ });
    await endSalt.click({ delay: 1500 });
    await expect.poll(() => entries(fake, 'end-salt'), PATIENCE).toHaveLength(1);
    expect(entries(fake, 'clam-up')).toHaveLength(1);
    // A screen reader or a switch presses without a finger or a key: twice is sure.
    const press = () =>
      page.getByRole('button', { name: /^Unbricked/ }).evaluate((button: HTMLElement) => button.click());
    await press();
    await page.getByRole('button', { name: 'Unbricked Press once more to be sure' }).waitFor(PATIENCE);
    expect(entries(fake, 'unbricked')).toEqual([]);
    await press();
    await expect.poll(() => entries(fake, 'unbricked'), PATIENCE).toHaveLength(1);
  });

  it('shows an alert in words, sounds it once it may, and is answered', async () => {
    const fake = await collector(13);
    const page = await visit(fake);
    const alert = alertOf('stall', 'look-soon', Math.round(fake.now()) - 20 * MINUTE, STALL_TEXT);
    fake.tell({ type: 'alert', at: Math.round(fake.now()), state: 'raised', alert });
    await says(page, 'Standing still for 20 minutes.');
    await says(page, 'Look soon');
    expect(await tones(page)).toBe(0);
    await page.getByRole('button', { name: 'Let it sound sound is off' }).tap();
    await expect.poll(() => tones(page), PATIENCE).toBe(2);
    await page.getByText('sound is off').waitFor({ ...PATIENCE, state: 'detached' });
    await answer(fake, page);
    expect(entries(fake, 'ack')).toEqual([expect.objectContaining({ alert: alert.id })]);
    fake.tell({ type: 'alert', at: Math.round(fake.now()), state: 'cleared', alert });
    await expect.poll(() => page.getByTestId('sentence').textContent(), PATIENCE).not.toContain('Look soon');
  });

  it('shows degrees as chosen and keeps the choice, and the look as well', async () => {
    const fake = await collector(13);
    const page = await visit(fake);
    fake.tell(readingAt(Math.round(fake.now()), 0));
    await page.getByTestId('kiln-temp').filter({ hasText: '1832' }).waitFor(PATIENCE);
    await page.getByRole('button', { name: '°C and kilos' }).tap();
    await page.getByTestId('kiln-temp').filter({ hasText: '1000' }).waitFor(PATIENCE);
    const ground = () => page.evaluate(() => getComputedStyle(document.documentElement).backgroundColor);
    const day = await ground();
    await page.getByRole('button', { name: 'Night', exact: true }).tap();
    await expect.poll(ground, PATIENCE).not.toBe(day);
    const night = await ground();
    await page.reload();
    await page.getByRole('button', { name: '°C and kilos', pressed: true }).waitFor(PATIENCE);
    expect(await ground()).toBe(night);
  });

  it('plays a past firing: the same parts, at any moment of it', async () => {
    const fake = await collector(13, {
      past: [
        { ...recordAt(18.5), firing: { ...recordAt(1).firing, id: 'old one', name: 'Old', running: false } },
      ],
    });
    const page = await visit(fake);
    await page.getByRole('link', { name: 'Past firings' }).tap();
    await page.getByRole('link', { name: 'Watch Old again' }).tap();
    await page.getByText('This is a past firing: Old.').waitFor(PATIENCE);
    const moment = page.getByLabel('Moment of the firing');
    const from = Number(await moment.getAttribute('min'));
    await moment.fill(String(from + 16 * HOUR));
    await page.getByText('salting', { exact: true }).waitFor(PATIENCE);
    const scrubbed = await rows(page);
    await page.getByRole('button', { name: 'Play' }).tap();
    await expect.poll(() => rows(page), PATIENCE).toBeGreaterThan(scrubbed);
    expect(await page.getByRole('button', { name: /Stoke, left/ }).count()).toBe(0);
  });

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
        .getByRole('link', { name: /^Watch/ })
        .first()
        .waitFor(PATIENCE);
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(width);
    },
  );

  it('is reached by key alone, in an order that makes sense, and shows where one is', async () => {
    const fake = await collector(13);
    const page = await visit(fake, { width: 1280, height: 800 });
    const reached: string[] = [];
    for (let i = 0; i < 60; i += 1) {
      await page.keyboard.press('Tab');
      const [name, outlined] = await page.evaluate(() => {
        const here = document.activeElement;
        const shown = here ? Number.parseFloat(getComputedStyle(here).outlineWidth) > 0 : false;
        return [here?.getAttribute('aria-label') ?? here?.textContent ?? '', shown];
      });
      if (reached.includes(String(name))) break;
      reached.push(String(name));
      expect(outlined, `${name} shows that it is reached`).toBe(true);
    }
    const inOrder = [
      'Let it soundsound is off',
      'Now',
      'Stoke, left hole',
      'Show the whole firing',
      'Damper shut',
      '°F and pounds',
    ];
    expect(reached.filter((name) => inOrder.includes(name))).toEqual(inOrder);
  });

  it('reads out a moment of the curve by the arrow keys', async () => {
    const fake = await collector(13);
    const page = await visit(fake, { width: 1280, height: 800 });
    const drawn = curve(page);
    await page.locator('.u-over').waitFor(PATIENCE);
    const before = await drawn.getAttribute('aria-valuetext');
    await drawn.focus();
    await expect
      .poll(async () => {
        await page.keyboard.press('ArrowLeft');
        return drawn.getAttribute('aria-valuetext');
      }, PATIENCE)
      .not.toBe(before);
    expect(await drawn.getAttribute('aria-valuetext')).toMatch(/kiln \d+\u00a0°F, front \d+/);
  });

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
    const pressed = page.evaluate(
      () =>
        new Promise<void>((done) => {
          const watcher = new MutationObserver(() => {
            const heard = document.querySelector<HTMLElement>('.sentence .press');
            if (!heard) return;
            watcher.disconnect();
            heard.click();
            done();
          });
          watcher.observe(document.body, { childList: true, subtree: true });
        }),
    );
    await raise(fake, page);
    await pressed;
    expect(entries(fake, 'ack')).toEqual([]);
    await answer(fake, page);
    expect(entries(fake, 'ack')).toHaveLength(1);
    await page.getByTestId('sentence').filter({ hasText: 'heard at' }).waitFor(PATIENCE);
  });

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
