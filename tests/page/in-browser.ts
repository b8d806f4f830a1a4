/** The built page in a real headless Chromium, against a stand-in for the collector that keeps to the contract. */
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, expect } from 'vitest';
import { builtPage, openBrowser } from '../support/browser.ts';
import { type FakeCollector, type FakeOptions, startFakeCollector } from './fake-collector.ts';
import { HOUR } from './pages.ts';
import { LIT_AT, recordAt } from './story.ts';

export const PATIENCE = { timeout: 20_000 };

/** Within a `describe`: opens a browser for its tests, and sees that no page complains or asks elsewhere. */
export function pageInBrowser() {
  let folder = '';
  let browser: Browser;
  const open: { contexts: BrowserContext[]; fakes: FakeCollector[] } = { contexts: [], fakes: [] };
  /** What must not happen on any page: complaints of the browser, and requests to anywhere else. */
  let complaints: string[] = [];

  beforeAll(async () => {
    folder = await builtPage();
    browser = await openBrowser();
  });
  afterAll(() => browser?.close());
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
    { worker = false, permissions = [] }: { worker?: boolean; permissions?: string[] } = {},
  ): Promise<Page> {
    const context = await browser.newContext({
      viewport: size,
      locale: 'en-US',
      hasTouch: true,
      // But for the tests of the worker itself, each page stands alone.
      serviceWorkers: worker ? 'allow' : 'block',
      permissions,
    });
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
      // What the test itself has cut is told of by the browser; everything else is a fault of the page.
      const cut = /WebSocket connection|ERR_INTERNET_DISCONNECTED/.test(message.text());
      if (message.type() === 'error' && !cut) complaints.push(message.text());
    });
    page.on('request', (request) => {
      const { host, protocol } = new URL(request.url());
      if (protocol !== 'data:' && host !== new URL(fake.url).host) complaints.push(`asked ${request.url()}`);
    });
    await page.goto(fake.url);
    await page.getByTestId('figure').waitFor(PATIENCE);
    return page;
  }

  return { collector, visit };
}

export const says = (page: Page, text: string | RegExp) =>
  page.getByTestId('sentence').filter({ hasText: text }).waitFor(PATIENCE);

export const curve = (page: Page) => page.getByRole('slider', { name: /^Curve of the kiln/ });

export const rows = (page: Page) => curve(page).getAttribute('aria-valuemax').then(Number);

export const entries = (fake: FakeCollector, log: string) =>
  fake.heard.flatMap((message) =>
    message.type === 'log' && message.entry.log === log ? [message.entry] : [],
  );
/** Answers the call at the top, as soon as its button listens. */

export const answer = (fake: FakeCollector, page: Page) =>
  expect
    .poll(async () => {
      const heard = page.getByRole('button', { name: /^Heard/ });
      // It goes once it was heard, it may be between the count and the tap.
      if (await heard.count()) await heard.tap({ timeout: 1000 }).catch(() => undefined);
      return entries(fake, 'ack').length;
    }, PATIENCE)
    .toBe(1);

export const tones = (page: Page) => page.evaluate(() => Number(Reflect.get(window, 'tones')));
