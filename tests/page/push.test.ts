/** Push to the phone: asked for by a press, shown by the worker, answered from the notification; and why it cannot be. */
import type { BrowserContext, Page, Worker } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import type { WaysMessage } from '../../protocol/ways.ts';
import { hasChromium } from '../support/browser.ts';
import type { FakeCollector } from './fake-collector.ts';
import { entries, PATIENCE, pageInBrowser } from './in-browser.ts';

/** A point of the curve P-256, as any: RFC 8291, appendix A (from memory). */
const KEY = 'BP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27mlmlMoZIIgDll6e3vCYLocInmYWAmS6TlzAC8wEqKK6PBru3jl7A8';
const WAYS: WaysMessage = {
  type: 'ways',
  ways: [
    { way: 'push', armed: true, why: '1 phone is called over the internet, even while locked.', last: null },
  ],
  sends: [],
  phones: [],
  pushKey: KEY,
  secure: { port: 8322, trustPath: '/trust' },
};
const WITH_PUSH = { worker: true, permissions: ['notifications'] };
const PUSHED = {
  id: 'push-0001',
  title: 'Come now: spring',
  body: 'The kiln falls. Is somebody stoking?',
  tag: 'falling  spring',
  urgent: true,
  priority: 'come-now',
  alert: 'falling//1930712400000',
  path: '/',
  live: '/live',
};

/** A push service needs the internet: in its place the browser hands out a subscription of the tests' own. */
async function withPushService(context: BrowserContext): Promise<void> {
  await context.addInitScript(() => {
    let subscribed = false;
    const subscription = (key: BufferSource | null) => ({
      options: { applicationServerKey: key },
      toJSON: () => ({
        endpoint: 'https://push.example.org/p/1',
        keys: { p256dh: 'BPoint', auth: 'secret' },
      }),
      unsubscribe: async () => {
        subscribed = false;
        return true;
      },
    });
    let key: BufferSource | null = null;
    Object.assign(PushManager.prototype, {
      async subscribe(options: { applicationServerKey: Uint8Array<ArrayBuffer> }) {
        subscribed = true;
        key = options.applicationServerKey.buffer;
        return subscription(key);
      },
      getSubscription: async () => (subscribed ? subscription(key) : null),
    });
  });
}

const asked = (fake: FakeCollector) =>
  fake.heard.flatMap((message) => (message.type === 'push' ? [message.subscription] : []));
const saidShown = (fake: FakeCollector) =>
  fake.heard.flatMap((message) => (message.type === 'shown' ? [message.push] : []));

/** The page's worker, once it is at work. */
async function workerOf(page: Page): Promise<Worker> {
  await page.evaluate(() => navigator.serviceWorker.ready);
  const [worker] = page.context().serviceWorkers();
  if (!worker) throw new Error('There is no worker.');
  await worker.evaluate(() => {
    const scope = self as unknown as {
      registration: { showNotification(...given: unknown[]): Promise<void> };
    };
    const show = scope.registration.showNotification.bind(scope.registration);
    let shows = 0;
    scope.registration.showNotification = async (...given) => {
      await show(...given);
      shows += 1;
      Object.assign(self, { shows });
    };
  });
  return worker;
}

/**
 * Waits until the worker has shown so many. Nobody may ask for the notifications before: one that Chromium keeps and that
 * is not on the screen yet it takes for one that was swept away, and forgets it.
 */
const hasShown = (worker: Worker, count: number) =>
  expect.poll(() => worker.evaluate(() => Reflect.get(self, 'shows')), PATIENCE).toBe(count);

async function deliver(page: Page, fake: FakeCollector, pushed: object): Promise<void> {
  const cdp = await page.context().newCDPSession(page);
  const registered = new Promise<string>((resolve) => {
    cdp.on('ServiceWorker.workerRegistrationUpdated', ({ registrations }) => {
      const [first] = registrations;
      if (first) resolve(first.registrationId);
    });
  });
  await cdp.send('ServiceWorker.enable');
  await cdp.send('ServiceWorker.deliverPushMessage', {
    origin: new URL(fake.url).origin,
    registrationId: await registered,
    data: JSON.stringify(pushed),
  });
  await cdp.detach();
}

const shown = (page: Page) =>
  page.evaluate(async () => {
    const notifications = await (await navigator.serviceWorker.ready).getNotifications();
    return notifications.map((one) => {
      const { title, body, tag, requireInteraction, silent } = one;
      const actions: readonly { action: string }[] = Reflect.get(one, 'actions') ?? [];
      return { title, body, tag, requireInteraction, silent, actions: actions.map(({ action }) => action) };
    });
  });

/** The thumb on a button of the newest notification. */
const press = (worker: Worker, action: string) =>
  worker.evaluate(async (button) => {
    const scope = self as unknown as {
      registration: { getNotifications(): Promise<unknown[]> };
      NotificationEvent: new (name: string, init: object) => Event;
    };
    const notification = (await scope.registration.getNotifications()).at(-1);
    self.dispatchEvent(new scope.NotificationEvent('notificationclick', { notification, action: button }));
  }, action);

describe.skipIf(!hasChromium())('push to this phone (needs Chromium)', () => {
  const { collector, visit } = pageInBrowser();

  it('is asked for by a press, told to the collector, and taken back by another', async () => {
    const fake = await collector(13, { ways: WAYS });
    const page = await visit(fake, undefined, withPushService, WITH_PUSH);
    await page.getByText('If you lock this phone it will not wake you.').waitFor(PATIENCE);
    expect(asked(fake)).toEqual([]);
    await page.getByRole('button', { name: 'Push to this phone' }).tap(PATIENCE);
    await page.getByText('If you lock this phone it is called by push').waitFor(PATIENCE);
    await expect
      .poll(() => asked(fake).at(-1), PATIENCE)
      .toEqual({
        endpoint: 'https://push.example.org/p/1',
        keys: { p256dh: 'BPoint', auth: 'secret' },
      });
    await page.getByRole('button', { name: 'No push to this phone' }).tap();
    await expect.poll(() => asked(fake).at(-1), PATIENCE).toBeNull();
    await page.getByText('If you lock this phone it will not wake you.').waitFor(PATIENCE);
  });

  it('is shown by the worker, which says so, in place of what the same alert said before', async () => {
    const fake = await collector(13, { ways: WAYS });
    const page = await visit(fake, undefined, withPushService, WITH_PUSH);
    const worker = await workerOf(page);
    await deliver(page, fake, PUSHED);
    await hasShown(worker, 1);
    const { title, body, tag } = PUSHED;
    await expect
      .poll(() => shown(page), PATIENCE)
      .toEqual([{ title, body, tag, requireInteraction: true, silent: false, actions: ['heard'] }]);
    await expect.poll(() => saidShown(fake), PATIENCE).toEqual([PUSHED.id]);
    await deliver(page, fake, {
      ...PUSHED,
      id: 'push-0002',
      title: 'spring: over',
      urgent: false,
      body: 'It climbs again.',
    });
    await hasShown(worker, 2);
    await expect
      .poll(async () => (await shown(page)).map((one) => [one.title, one.silent, one.actions]), PATIENCE)
      .toEqual([['spring: over', true, []]]);
    // What cannot be read calls all the same.
    await deliver(page, fake, {});
    await hasShown(worker, 3);
    await expect
      .poll(async () => (await shown(page)).map((one) => one.body), PATIENCE)
      .toContain('Spyhole calls, and this phone could not read why: open the page.');
  });

  it('speaks the language that was chosen on the page, whatever the browser asks for', async () => {
    const fake = await collector(13, { ways: WAYS });
    const german = async (context: BrowserContext) =>
      void (await context.addInitScript(() => localStorage.setItem('spyhole.language', 'de')));
    const page = await visit(fake, undefined, german, WITH_PUSH);
    const worker = await workerOf(page);
    const body =
      'The kiln loses heat: down 62 °F (34 °C) an hour, for about 12 minutes (90 % sure). No stoke for 30 minutes: is somebody stoking?';
    await deliver(page, fake, { ...PUSHED, body });
    await hasShown(worker, 1);
    await deliver(page, fake, {});
    await hasShown(worker, 2);
    await expect
      .poll(async () => (await shown(page)).map((one) => [one.title, one.body]), PATIENCE)
      .toEqual([
        [
          'Sofort kommen: spring',
          'Der Ofen verliert Hitze: 62 °F (34 °C) je Stunde hinab, etwa 12 Minuten lang (zu 90 % sicher). 30 Minuten lang nicht geschürt: ist jemand am Schüren?',
        ],
        ['Spyhole', expect.stringContaining('dieses Handy konnte nicht lesen')],
      ]);
  });

  it('is answered from the notification, by who is at the kiln; out of reach it says that nothing was answered', async () => {
    const fake = await collector(13, { ways: WAYS });
    const page = await visit(fake, undefined, withPushService, WITH_PUSH);
    const worker = await workerOf(page);
    await deliver(page, fake, PUSHED);
    await hasShown(worker, 1);
    await expect.poll(() => shown(page), PATIENCE).toHaveLength(1);
    await press(worker, 'heard');
    await expect.poll(() => entries(fake, 'ack'), PATIENCE).toHaveLength(1);
    expect(entries(fake, 'ack')[0]).toMatchObject({
      alert: PUSHED.alert,
      where: expect.stringMatching(/^phone [0-9a-f]{4}$/),
    });
    await expect.poll(() => shown(page), PATIENCE).toEqual([]);
    await deliver(page, fake, PUSHED);
    await hasShown(worker, 2);
    await expect.poll(() => shown(page), PATIENCE).toHaveLength(1);
    fake.open = false;
    await press(worker, 'heard');
    await hasShown(worker, 3);
    await expect
      .poll(async () => (await shown(page)).map(({ title }) => title), PATIENCE)
      .toEqual([`Not answered: ${PUSHED.title}`]);
    expect(entries(fake, 'ack')).toHaveLength(1);
  });

  it.each([
    {
      why: 'the browser was told no',
      words: 'This browser was told not to let this page call.',
      prepare: async (context: BrowserContext) =>
        context.addInitScript(() => Object.defineProperty(Notification, 'permission', { value: 'denied' })),
    },
    {
      why: 'the page came without HTTPS',
      words: 'Push to this phone needs the page over HTTPS.',
      prepare: async (context: BrowserContext) =>
        context.addInitScript(() => Object.defineProperty(window, 'isSecureContext', { value: false })),
    },
    {
      why: 'it is an iPhone whose page is not on the home screen',
      words: 'tap Share, then Add to Home Screen',
      prepare: async (context: BrowserContext) =>
        context.addInitScript(() => {
          Object.defineProperty(navigator, 'standalone', { value: false });
          Reflect.deleteProperty(window, 'PushManager');
        }),
    },
  ])('says so, and what to do, where $why', async ({ words, prepare }) => {
    const fake = await collector(13, { ways: WAYS });
    const page = await visit(fake, undefined, async (context) => void (await prepare(context)), WITH_PUSH);
    await page.getByText(words).waitFor(PATIENCE);
    await page.getByText('If you lock this phone it will not wake you.').waitFor(PATIENCE);
  });
});

describe.skipIf(!hasChromium())('the screen (needs Chromium)', () => {
  const { collector, visit } = pageInBrowser();

  /** A browser that can be made to let go of it. */
  const withWakeLock = async (context: BrowserContext): Promise<void> => {
    await context.addInitScript(() => {
      const locks: EventTarget[] = [];
      const request = async () => {
        const lock = Object.assign(new EventTarget(), { release: async () => undefined });
        locks.push(lock);
        return lock;
      };
      Object.defineProperty(navigator, 'wakeLock', { value: { request } });
      Object.assign(window, {
        locks,
        loseIt: () => locks.at(-1)?.dispatchEvent(new Event('release')),
      });
    });
  };
  const locks = (page: Page) => page.evaluate(() => Reflect.get(window, 'locks').length);

  it('is kept on by a press, its loss is told, and it is taken again when the page shows', async () => {
    const fake = await collector(13);
    const page = await visit(fake, undefined, withWakeLock);
    expect(await locks(page)).toBe(0);
    await page.getByRole('button', { name: 'Keep the screen on' }).tap(PATIENCE);
    await page.getByText('The screen stays on while this page is in front.').waitFor(PATIENCE);
    await page.evaluate(() => Reflect.get(window, 'loseIt')());
    await page.getByText('The screen may go dark: the browser has let go of it.').waitFor(PATIENCE);
    await page.evaluate(() => document.dispatchEvent(new Event('visibilitychange')));
    await page.getByText('The screen stays on while this page is in front.').waitFor(PATIENCE);
    expect(await locks(page)).toBe(2);
    await page.getByRole('button', { name: 'Keep the screen on', pressed: true }).tap();
    await page.getByRole('button', { name: 'Keep the screen on', pressed: false }).waitFor(PATIENCE);
  });

  it('cannot be kept on without HTTPS: it says how the phone itself can', async () => {
    const fake = await collector(13);
    const page = await visit(fake, undefined, async (context) => {
      await context.addInitScript(() => Object.defineProperty(window, 'isSecureContext', { value: false }));
    });
    await page
      .getByText(/The browser keeps the screen on over HTTPS only\. Set the phone's own time/)
      .waitFor(PATIENCE);
    await page.getByText('It keeps its curve while it stays open').waitFor(PATIENCE);
  });
});
