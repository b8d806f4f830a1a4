/** The page's worker: keeps the page's shell, and shows what is pushed while no page is open. */

import { readThisPhone } from '../this-phone.ts';
import { language } from '../words/language.ts';
import { type AtKiln, answerPush, pushedOf, showPush } from './called.ts';
import type { WorkerScope } from './scope.ts';
import { answerTo, dropOldShells, keepShell, type Shell } from './shell.ts';

/** Put in by the builder. */
declare const SHELL: Shell & { icon: string; badge: string };

const worker = self as unknown as WorkerScope;
const { origin } = location;

// A new worker takes over at once: all that a page loads of its own has a name that no other build has.
worker.addEventListener('install', (event) =>
  event.waitUntil(
    readThisPhone()
      .then((phone) => keepShell(SHELL, phone?.language ?? language, caches))
      .then(() => worker.skipWaiting()),
  ),
);
worker.addEventListener('activate', (event) =>
  event.waitUntil(dropOldShells(SHELL, caches).then(() => worker.clients.claim())),
);
worker.addEventListener('fetch', (event) => {
  const { request } = event;
  const answer = answerTo(request, origin, SHELL, {
    caches,
    fetch: () => fetch(request),
    after: (ms) => new Promise((resolve) => setTimeout(resolve, ms)),
  });
  if (answer) event.respondWith(answer);
});

const hands: AtKiln = {
  dial: (path) => new WebSocket(`${origin.replace(/^http/, 'ws')}${path}`),
  show: (title, options) =>
    worker.registration.showNotification(title, {
      icon: `/${SHELL.icon}`,
      badge: `/${SHELL.badge}`,
      ...options,
    }),
};

worker.addEventListener('push', (event) =>
  event.waitUntil(showPush(pushedOf(event.data?.text() ?? null), hands)),
);
worker.addEventListener('notificationclick', (event) => {
  event.notification.close();
  const pushed = pushedOf(event.notification.data);
  event.waitUntil(
    event.action === 'heard' ? answerPush(pushed, hands) : openPage(new URL(pushed.path, origin)),
  );
});

/** The kiln's page, the one that is open if there is one. */
async function openPage({ href, pathname }: URL): Promise<void> {
  const open = await worker.clients.matchAll({ type: 'window', includeUncontrolled: true });
  const there = open.find(({ url }) => new URL(url).pathname === pathname);
  await (there ? there.focus() : worker.clients.openWindow(href));
}
