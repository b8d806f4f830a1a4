/** The webhook, against a receiver of our own on 127.0.0.1. */
import { createHmac } from 'node:crypto';
import fc from 'fast-check';
import { describe, expect, it, onTestFinished } from 'vitest';
import { backOffMs, MOST_TRIES } from '../../collector/ways/back-off.ts';
import { signatureOf, type WebhookHands, webhookHand } from '../../collector/ways/webhook.ts';
import { webhookBodySchema } from '../../protocol/ways.ts';
import { callOf, messageOf, NIGHT, receiver } from './support.ts';

const SECRET = 'a secret of the potter';

function hookTo(url: string, hands: Partial<WebhookHands> = {}) {
  const waits: number[] = [];
  const hand = webhookHand(
    { url, secret: SECRET, timeoutS: 10 },
    {
      now: () => NIGHT,
      random: () => 0.5,
      sleep: async (ms) => {
        waits.push(ms);
      },
      ...hands,
    },
  );
  onTestFinished(() => hand.close());
  return { hand, waits };
}

const nothing = () => undefined;

describe('a webhook', () => {
  it('sends the alert as JSON, as it is documented', async () => {
    const { url, received } = await receiver([200]);
    const { hand } = hookTo(url);
    const acknowledged = { at: NIGHT + 5000, who: 'Mira', where: "Mira's phone" };
    expect(
      await hand.send(messageOf('acknowledged', callOf('falling', { acknowledged }), 2), nothing),
    ).toMatchObject({ reached: true });
    const body = webhookBodySchema.parse(JSON.parse(received[0]?.body ?? ''));
    expect(body).toMatchObject({
      spyhole: 1,
      n: 1,
      event: 'acknowledged',
      at: '2031-03-08T05:00:00.000Z',
      kiln: 'Spring kiln',
      step: 2,
      alert: {
        name: 'falling',
        priority: 'come-now',
        raised_at: '2031-03-08T05:00:00.000Z',
        acknowledged: { at: '2031-03-08T05:00:05.000Z', who: 'Mira', where: "Mira's phone" },
      },
    });
    expect(received[0]?.headers['content-type']).toBe('application/json');
  });

  it('signs id, time and body, so that neither can be changed', async () => {
    const { url, received } = await receiver([200]);
    await hookTo(url).hand.send(messageOf('raised'), nothing);
    const { headers, body } = received[0] ?? { headers: {}, body: '' };
    const signed = `${headers['spyhole-id']}.${headers['spyhole-timestamp']}.${body}`;
    expect(headers['spyhole-signature']).toBe(
      `v1=${createHmac('sha256', SECRET).update(signed).digest('hex')}`,
    );
    expect(headers['spyhole-timestamp']).toBe(String(NIGHT / 1000));
    expect(headers['idempotency-key']).toBe(JSON.parse(body).id);
  });

  it('has another signature for each id, time, body and secret', () => {
    const signatures = [
      signatureOf(SECRET, 'id', 1, '{}'),
      signatureOf(SECRET, 'id2', 1, '{}'),
      signatureOf(SECRET, 'id', 2, '{}'),
      signatureOf(SECRET, 'id', 1, '{ }'),
      signatureOf(`${SECRET}!`, 'id', 1, '{}'),
    ];
    expect(new Set(signatures).size).toBe(signatures.length);
  });

  it('is tried again with growing waits, under the same id, and says so', async () => {
    const { url, received } = await receiver([500, 503, 429, 200]);
    const { hand, waits } = hookTo(url);
    const said: string[] = [];
    expect(await hand.send(messageOf('raised'), (text) => said.push(text))).toMatchObject({ reached: true });
    expect(waits).toEqual([750, 1500, 3000]);
    expect(said.map((text) => text.replace(/^\S+ /, ''))).toEqual([
      'answers 500.',
      'answers 503.',
      'answers 429.',
    ]);
    expect(new Set(received.map(({ headers }) => headers['idempotency-key'])).size).toBe(1);
    expect(new Set(received.map(({ body }) => body)).size).toBe(1);
  });

  it('waits as long as the receiver asks', async () => {
    const { url } = await receiver([429, 200], { 'retry-after': '17' });
    const { hand, waits } = hookTo(url);
    await hand.send(messageOf('raised'), nothing);
    expect(waits).toEqual([17_000]);
  });

  it('gives up in the end, and says why', async () => {
    const { url, received } = await receiver([500]);
    const sent = await hookTo(url).hand.send(messageOf('raised'), nothing);
    expect(sent).toMatchObject({ reached: false, text: expect.stringContaining('answers 500') });
    expect(received).toHaveLength(MOST_TRIES);
  });

  it.each([400, 401, 403, 404, 410])('is not tried again after %i, which will not change', async (status) => {
    const { url, received } = await receiver([status]);
    expect(await hookTo(url).hand.send(messageOf('raised'), nothing)).toMatchObject({ reached: false });
    expect(received).toHaveLength(1);
  });

  it('follows no redirect: what is signed for one goes to no other', async () => {
    const other = await receiver([200]);
    const { url } = await receiver([302], { location: other.url });
    const sent = await hookTo(url).hand.send(messageOf('raised'), nothing);
    expect(sent).toMatchObject({ reached: false, text: expect.stringContaining('another address') });
    expect(other.received).toEqual([]);
  });

  it('to nobody says so at once in a test', async () => {
    const gone = await receiver([200]);
    await gone.close();
    const { hand, waits } = hookTo(gone.url);
    const sent = await hand.send(messageOf('test', null), nothing);
    expect(sent).toMatchObject({
      reached: false,
      text: expect.stringContaining('is not reached: ECONNREFUSED'),
    });
    expect(waits).toEqual([]);
  });

  it('shows the secret to nobody', async () => {
    const { url, received } = await receiver([200]);
    const { hand } = hookTo(url);
    const sent = await hand.send(messageOf('raised'), nothing);
    expect(JSON.stringify([hand.standing(), sent, received])).not.toContain(SECRET);
  });
});

it('the wait doubles, within its jitter, up to a minute', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 40 }),
      fc.double({ min: 0, max: 0.999, noNaN: true }),
      (tries, random) => {
        const whole = Math.min(60_000, 1000 * 2 ** (tries - 1));
        const wait = backOffMs(tries, random);
        expect(wait).toBeGreaterThanOrEqual(whole / 2);
        expect(wait).toBeLessThanOrEqual(whole);
      },
    ),
  );
});
