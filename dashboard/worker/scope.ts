/** The part of a service worker's world that is used (W3C Service Workers, Push API, Notifications API). */

/** An event whose work the browser waits for before it puts the worker to sleep. */
interface Lasting {
  waitUntil(work: Promise<unknown>): void;
}

interface ShownNotification {
  tag: string;
  data: unknown;
  close(): void;
}

export interface WindowClient {
  url: string;
  focus(): Promise<unknown>;
  navigate(url: string): Promise<unknown>;
}

interface WorkerEvents {
  install: Lasting;
  activate: Lasting;
  fetch: { request: Request; respondWith(answer: Promise<Response>): void };
  push: Lasting & { data: { text(): string } | null };
  notificationclick: Lasting & { action: string; notification: ShownNotification };
}

export interface WorkerScope {
  addEventListener<Name extends keyof WorkerEvents>(
    name: Name,
    listener: (event: WorkerEvents[Name]) => void,
  ): void;
  skipWaiting(): Promise<void>;
  clients: {
    claim(): Promise<void>;
    matchAll(options: { type: 'window'; includeUncontrolled: boolean }): Promise<readonly WindowClient[]>;
    openWindow(url: string): Promise<unknown>;
  };
  registration: {
    showNotification(title: string, options: object): Promise<void>;
  };
}
