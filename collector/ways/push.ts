/**
 * Web Push: the one way to a locked phone. Encrypted for the phone alone (RFC 8291) and carried by the push service of
 * its browser's maker over the internet (RFC 8030).
 */
import { request as httpRequest } from 'node:http';
import { request as httpsRequest } from 'node:https';
import webPush from 'web-push';
import type { Subscription } from '../../protocol/ways.ts';
import { type Hand, inWords, type Message, type Sent, whyOf } from './hand.ts';
import { endpointTrouble, lookupOutside } from './outside.ts';
import type { PushStore } from './push-store.ts';

/** What the page's service worker is handed, as JSON. `tag`: a later one of the same takes the place of the earlier. */
export interface Pushed {
  title: string;
  body: string;
  tag: string;
  /** It must call: not one that says that something is over. */
  urgent: boolean;
  alert: string | null;
}

export interface PushHand extends Hand {
  readonly publicKey: string;
  /** A phone subscribes, or (null) does no more. The answer is null, or why not in a sentence. */
  subscribe(phone: string, subscription: Subscription | null): Promise<string | null>;
}

/** An alert that comes later than this is stale: the push service drops it. */
const KEPT_S = 3600;
const WITHIN_MS = 10_000;

export interface PushSettings {
  store: PushStore;
  /** `mailto:` or `https:`: whom the push service may write to (RFC 8292, section 2.1). */
  contact: string;
  /** Why an endpoint is not called, or null; tests call their own on 127.0.0.1. */
  trouble?: (endpoint: string) => string | null;
}

export function pushHand({ store, contact, trouble = endpointTrouble }: PushSettings): PushHand {
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
      const pushed = pushedOf(message);
      const phones = [...store.phones()];
      if (phones.length === 0) return { reached: false, text: 'No phone has asked for push.' };
      const sent = await Promise.all(
        phones.map(([phone, subscription]) => send(phone, subscription, pushed)),
      );
      const reached = sent.filter((each) => each.reached);
      const failed = sent.find((each) => !each.reached);
      return {
        reached: reached.length > 0,
        text: `${reached.length} of ${sent.length} phones. ${failed?.text ?? reached[0]?.text ?? ''}`.trim(),
      };
    },
    close: async () => undefined,
  };
}

function pushedOf(message: Message): Pushed {
  const { call, kiln } = message;
  const calls = message.event === 'raised' || message.event === 'unanswered' || message.event === 'test';
  return {
    ...inWords(message),
    tag: call === null ? `test ${kiln}` : `${call.name} ${call.probe ?? ''} ${kiln}`,
    urgent: calls && call?.priority !== 'note',
    alert: call?.id ?? null,
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
