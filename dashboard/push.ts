/** Push to this phone: whether this browser can, and turning it on and off by a press (W3C Push API). */

import type { Subscription } from '../protocol/ways.ts';
import { PHONE } from './words.ts';

export type PushStanding =
  /** The page did not come over HTTPS. */
  | 'not-secure'
  /** iOS has push for what stands on the home screen alone. */
  | 'add-to-home'
  | 'cannot'
  /** The person, or the browser by itself, has said no. */
  | 'denied'
  | 'off'
  | 'asking'
  | 'on';

export interface Push {
  standing(): PushStanding;
  /** Why it was not turned on the last time; null: nothing went wrong. */
  trouble(): string | null;
  /** From within a press: the browser asks the person. `key`: the collector's own (RFC 8292). */
  ask(key: string): Promise<void>;
  stop(): Promise<void>;
  /** The collector was reached: it is told anew, in case that it has forgotten. */
  renew(key: string | null): Promise<void>;
  /** The collector's answer to what it was told: null, or why it does not call this phone. */
  answered(refused: string | null): void;
}

export interface PushParts {
  registration: Promise<ServiceWorkerRegistration> | null;
  tell(subscription: Subscription | null): boolean;
  changed(): void;
}

export function makePush({ registration, tell, changed }: PushParts): Push {
  let subscribed = false;
  /** Pressed since: what the browser knew when the page was opened says nothing any more. */
  let pressed = false;
  let asking = false;
  let trouble: string | null = null;

  const manager = async () => (registration ? (await registration).pushManager : null);
  const toCollector = (subscription: PushSubscription) => {
    const { endpoint, keys } = subscription.toJSON();
    const { p256dh, auth } = keys ?? {};
    if (endpoint && p256dh && auth) tell({ endpoint, keys: { p256dh, auth } });
  };
  const subscribe = async (key: string) => {
    const own = await manager();
    if (!own) throw new Error(PHONE.pushCannot);
    const subscription = await own.subscribe({ userVisibleOnly: true, applicationServerKey: bytesOf(key) });
    subscribed = true;
    toCollector(subscription);
  };

  void manager()
    .then((own) => own?.getSubscription())
    .then((subscription) => {
      if (pressed) return;
      subscribed = subscription !== null && subscription !== undefined;
      changed();
    })
    .catch(() => undefined);

  return {
    standing() {
      if (!window.isSecureContext) return 'not-secure';
      if (!('PushManager' in window) || !('Notification' in window) || !registration)
        return isBareIos() ? 'add-to-home' : 'cannot';
      if (Notification.permission === 'denied') return 'denied';
      if (asking) return 'asking';
      return subscribed ? 'on' : 'off';
    },
    trouble: () => trouble,
    async ask(key) {
      pressed = true;
      asking = true;
      trouble = null;
      changed();
      try {
        if ((await Notification.requestPermission()) === 'granted') await subscribe(key);
      } catch (cause) {
        trouble =
          cause instanceof DOMException && (cause.name === 'AbortError' || cause.name === 'NetworkError')
            ? PHONE.pushNoInternet
            : String(cause instanceof Error ? cause.message : cause);
      } finally {
        asking = false;
        changed();
      }
    },
    async stop() {
      pressed = true;
      trouble = null;
      subscribed = false;
      tell(null);
      changed();
      const subscription = await (await manager())?.getSubscription();
      await subscription?.unsubscribe();
    },
    async renew(key) {
      const own = await manager();
      const subscription = (await own?.getSubscription()) ?? null;
      if (subscription === null || key === null) return;
      const same = sameBytes(subscription.options.applicationServerKey, bytesOf(key));
      if (same) return toCollector(subscription);
      // The collector has new keys: with those of before it could call nobody.
      await subscription.unsubscribe();
      await subscribe(key).catch(() => {
        subscribed = false;
      });
      changed();
    },
    answered(refused) {
      trouble = refused;
      if (refused !== null) subscribed = false;
      changed();
    },
  };
}

/** An iPhone or iPad whose page was not opened from the home screen. */
function isBareIos(): boolean {
  return 'standalone' in navigator && navigator.standalone === false;
}

function bytesOf(base64url: string): Uint8Array<ArrayBuffer> {
  const binary = atob(base64url.replaceAll('-', '+').replaceAll('_', '/'));
  return Uint8Array.from(binary, (letter) => letter.charCodeAt(0));
}

function sameBytes(one: ArrayBuffer | null, other: Uint8Array): boolean {
  if (one === null || one.byteLength !== other.length) return false;
  return new Uint8Array(one).every((byte, place) => byte === other[place]);
}
