/** The page's worker (W3C Service Workers): one for all kilns of the collector, since a phone is called once for them all. */

const ADDRESS = '/worker.js';

/** Null where the browser lets no page have one: over plain HTTP, say, or in a private window. */
export function startWorker(): Promise<ServiceWorkerRegistration> | null {
  if (!window.isSecureContext || !('serviceWorker' in navigator)) return null;
  const { serviceWorker } = navigator;
  void serviceWorker.register(ADDRESS, { scope: '/', updateViaCache: 'none' }).catch(() => undefined);
  return serviceWorker.ready;
}
