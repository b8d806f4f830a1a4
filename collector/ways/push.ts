/**
 * Web Push: the one way to a locked phone. Encrypted for the phone alone (RFC 8291) and carried by the push service of
 * its browser's maker over the internet (RFC 8030).
 */
import { randomUUID } from 'node:crypto';
import { request as httpRequest } from 'node:http';
import { request as httpsRequest } from 'node:https';
import webPush from 'web-push';
import type { AlertPriority } from '../../protocol/alert-names.ts';
import { LIVE_PATH } from '../../protocol/live-messages.ts';
import type { Subscription } from '../../protocol/ways.ts';
import { type Hand, inWords, type Message, type Sent, whyOf } from './hand.ts';
import { endpointTrouble, lookupOutside } from './outside.ts';
import type { PushStore } from './push-store.ts';

/** What the page's service worker is handed, as JSON. `tag`: a later one of the same takes the place of the earlier. */
interface Pushed {
  id: string;
  title: string;
  body: string;
  tag: string;
  /** It must call: not one that says that something is over. */
  urgent: boolean;
  priority: AlertPriority | null;
  alert: string | null;
  /** Paths of the kiln's page and of its live feed. */
  path: string;
  live: string;
}

export interface PushHand extends Hand {
  readonly publicKey: string;
  /** A phone subscribes, or (null) does no more. The answer is null, or why not in a sentence. */
  subscribe(phone: string, subscription: Subscription | null): Promise<string | null>;
  /** A phone's worker says that it has shown a push. */
  shown(phone: string, push: string): void;
}

/** An alert that comes later than this is stale: the push service drops it. */
const KEPT_S = 3600;
const WITHIN_MS = 10_000;
/** A phone in the kiln's network that is awake enough says within this that it has shown a trial. */
const SHOWN_WITHIN_MS = 8000;

export interface PushSettings {
  store: PushStore;
  /** `mailto:` or `https:`: whom the push service may write to (RFC 8292, section 2.1). */
  contact: string;
  /** Why an endpoint is not called, or null; tests call their own on 127.0.0.1. */
  trouble?: (endpoint: string) => string | null;
  /** Where a kiln's page is, with a slash at the end. */
  pathOf?: (kiln: string) => string;
}

export function pushHand(settings: PushSettings): PushHand {
  const { store, contact, trouble = endpointTrouble, pathOf = () => '/' } = settings;
  const trials = new Map<string, Trial>();

  const send = async (phone: string, subscription: Subscription, pushed: Pushed): Promise<Sent> => {
    const { host, protocol } = new URL(subscription.endpoint);
    const refused = trouble(subscription.endpoint);
    if (refused !== null) return { reached: false, text: refused };
    try {
      const { headers, body } = webPush.generateRequestDetails(subscription, JSON.stringify(pushed), {
        vapidDetails: { subject: contact, ...store.vapid },
        TTL: KEPT_S,
        urgency: pushed.urgent ? 'high' : 'normal',
        // RFC 8030, section 5.4: at most 32 letters of the URL-safe alphabet.
        topic: Buffer.from(pushed.tag).toString('base64url').slice(-32),
      });
      const status = await post(subscription.endpoint, protocol, headers, body);
      if (status === 404 || status === 410) {
        await store.put(phone, null);
        return { reached: false, text: 'A phone has taken its subscription back, and is taken out.' };
      }
      return status >= 200 && status < 300
        ? { reached: true, text: `${host} has taken it.` }
        : { reached: false, text: `${host} answers ${status}.` };
    } catch (cause) {
      return { reached: false, text: `${host} is not reached: ${whyOf(cause)}. Push needs the internet.` };
    }
  };

  return {
    way: 'push',
    publicKey: store.vapid.publicKey,
    standing() {
      const count = store.phones().size;
      return count === 0
        ? {
            armed: false,
            why: 'No phone has asked for push: open the page over HTTPS on the phone, and turn it on there.',
          }
        : {
            armed: true,
            why: `${count} ${count === 1 ? 'phone is' : 'phones are'} called over the internet, even while locked.`,
          };
    },
    async subscribe(phone, subscription) {
      const refused = subscription === null ? null : trouble(subscription.endpoint);
      if (refused !== null) return refused;
      return store.put(phone, subscription).then(
        () => null,
        (cause: unknown) => (cause instanceof Error ? cause.message : String(cause)),
      );
    },
    async send(message) {
      const pushed = pushedOf(message, pathOf(message.kiln));
      const phones = [...store.phones()];
      if (phones.length === 0) return { reached: false, text: 'No phone has asked for push.' };
      const trial = message.event === 'test' ? newTrial() : null;
      if (trial) trials.set(pushed.id, trial);
      const sent = await Promise.all(
        phones.map(([phone, subscription]) => send(phone, subscription, pushed)),
      );
      const reached = sent.filter((each) => each.reached);
      const failed = sent.find((each) => !each.reached);
      const text =
        `${reached.length} of ${sent.length} phones. ${failed?.text ?? reached[0]?.text ?? ''}`.trim();
      if (!trial || reached.length === 0) return { reached: reached.length > 0, text };
      const count = await trial.shown(reached.length);
      trials.delete(pushed.id);
      return { reached: count > 0, text: `${text} ${shownWords(count)}` };
    },
    shown: (phone, push) => trials.get(push)?.note(phone),
    close: async () => undefined,
  };
}

interface Trial {
  note(phone: string): void;
  /** How many phones have shown it, once it is as many as it can be or long enough has been waited. */
  shown(most: number): Promise<number>;
}

function newTrial(): Trial {
  const phones = new Set<string>();
  let look: () => void = () => undefined;
  return {
    note(phone) {
      phones.add(phone);
      look();
    },
    shown: (most) =>
      new Promise((resolve) => {
        const timer = setTimeout(() => resolve(phones.size), SHOWN_WITHIN_MS);
        look = () => {
          if (phones.size < most) return;
          clearTimeout(timer);
          resolve(phones.size);
        };
        look();
      }),
  };
}

function shownWords(count: number): string {
  if (count === 0)
    return 'No phone has said that it has shown it: one outside this network cannot say so. Look at it.';
  return `${count} ${count === 1 ? 'has' : 'have'} shown it.`;
}

function pushedOf(message: Message, path: string): Pushed {
  const { call, kiln } = message;
  const calls = message.event === 'raised' || message.event === 'unanswered' || message.event === 'test';
  return {
    id: randomUUID(),
    ...inWords(message),
    tag: call === null ? `test ${kiln}` : `${call.name} ${call.probe ?? ''} ${kiln}`,
    urgent: calls && call?.priority !== 'note',
    priority: call?.priority ?? null,
    alert: call?.id ?? null,
    path,
    live: `${path.slice(0, -1)}${LIVE_PATH}`,
  };
}

function post(
  endpoint: string,
  protocol: string,
  headers: Record<string, string | number>,
  body: Buffer | null,
): Promise<number> {
  return new Promise((resolve, reject) => {
    const secure = protocol === 'https:';
    const options = { method: 'POST', headers, timeout: WITHIN_MS, ...(secure && { lookup: lookupOutside }) };
    const request = (secure ? httpsRequest : httpRequest)(endpoint, options, (response) => {
      response.resume();
      response.on('end', () => resolve(response.statusCode ?? 0));
      response.on('error', reject);
    });
    request.on('timeout', () => request.destroy(new Error('no answer in time')));
    request.on('error', reject);
    request.end(body);
  });
}
