/**
 * The webhook: each change of an alert as JSON to an address of the user's own, signed, tried again with growing waits.
 * The format is public: protocol/ways.md.
 */
import { createHmac, randomUUID } from 'node:crypto';
import { formatTime } from '../../protocol/times.ts';
import { WAYS_VERSION, type WebhookBody } from '../../protocol/ways.ts';
import { backOffMs, MOST_TRIES } from './back-off.ts';
import { type Hand, type Message, type Sent, whyOf } from './hand.ts';
import { toldAlert } from './told-alert.ts';

export interface WebhookSettings {
  url: string;
  /** Shared with whoever receives: it proves that the body is ours. */
  secret: string;
  timeoutS: number;
}

export interface WebhookHands {
  /** Wall clock, epoch ms. */
  now(): number;
  random(): number;
  /** Resolves after so many real milliseconds; rejects when `signal` is aborted. */
  sleep(ms: number, signal: AbortSignal): Promise<void>;
}

/** So many bodies may wait to be tried again; what comes beyond is told as failed. */
const MOST_WAITING = 100;

/** `v1=` and the HMAC-SHA256 (RFC 2104), in hex, of id, full stop, seconds since 1970, full stop, body. */
export function signatureOf(secret: string, id: string, atS: number, body: string): string {
  return `v1=${createHmac('sha256', secret).update(`${id}.${atS}.${body}`).digest('hex')}`;
}

export function webhookHand(settings: WebhookSettings, hands: WebhookHands): Hand {
  const { url, secret, timeoutS } = settings;
  const host = new URL(url).host;
  const closing = new AbortController();
  let made = 0;
  let waiting = 0;

  async function post(id: string, body: string): Promise<Sent & { again: boolean; afterMs: number }> {
    const atS = Math.floor(hands.now() / 1000);
    const no = (text: string, again: boolean, afterMs = 0) => ({ reached: false, text, again, afterMs });
    try {
      const response = await fetch(url, {
        method: 'POST',
        body,
        // An address that sends elsewhere is the user's to set right: what is signed for one goes to no other.
        redirect: 'manual',
        signal: AbortSignal.any([closing.signal, AbortSignal.timeout(timeoutS * 1000)]),
        headers: {
          'content-type': 'application/json',
          'user-agent': 'spyhole',
          'idempotency-key': id,
          'spyhole-id': id,
          'spyhole-timestamp': String(atS),
          'spyhole-signature': signatureOf(secret, id, atS, body),
        },
      });
      await response.body?.cancel();
      const { status } = response;
      if (response.ok) return { reached: true, text: `${host} has taken it.`, again: false, afterMs: 0 };
      if (status >= 300 && status < 400)
        return no(`${host} sends on to another address: set that one as the webhook's url.`, false);
      const later = status >= 500 || status === 408 || status === 425 || status === 429;
      return no(`${host} answers ${status}.`, later, retryAfterMs(response.headers.get('retry-after')));
    } catch (cause) {
      return no(`${host} is not reached: ${whyOf(cause)}.`, true);
    }
  }

  return {
    way: 'webhook',
    standing: () => ({ armed: true, why: `Each change of an alert goes to ${host}.` }),
    async send(message, retrying) {
      made += 1;
      const id = randomUUID();
      const body = JSON.stringify(bodyOf(message, id, made, hands.now()));
      if (waiting >= MOST_WAITING) return { reached: false, text: `Too many wait for ${host} already.` };
      waiting += 1;
      try {
        for (let tries = 1; ; tries += 1) {
          const { reached, text, again, afterMs } = await post(id, body);
          // A test says at once how it stands.
          if (reached || !again || tries >= MOST_TRIES || message.call === null || closing.signal.aborted)
            return { reached, text };
          retrying(text);
          const waitMs = Math.max(backOffMs(tries, hands.random()), afterMs);
          await hands.sleep(waitMs, closing.signal).catch(() => undefined);
        }
      } finally {
        waiting -= 1;
      }
    },
    close: async () => closing.abort(),
  };
}

/** RFC 9110, section 10.2.3, in its form of seconds; no longer than a minute is waited for. */
function retryAfterMs(header: string | null): number {
  const seconds = /^\d{1,6}$/.test(header ?? '') ? Number(header) : 0;
  return Math.min(seconds, 60) * 1000;
}

function bodyOf({ event, kiln, step, call }: Message, id: string, n: number, at: number): WebhookBody {
  return {
    spyhole: WAYS_VERSION,
    id,
    n,
    event: event === 'said' ? 'raised' : event,
    at: formatTime(at),
    kiln,
    step,
    alert: call && toldAlert(call),
  };
}
