/** The desk of the ways: what the core says comes out of the hands, and is written down for the page. */
import { describe, expect, it, onTestFinished } from 'vitest';
import { newStandings, standingAfter, standingLogged, standingSays } from '../../alerts/standing.ts';
import { USUAL_LADDER } from '../../alerts/ways/ladder.ts';
import { createWays, type WaysParts } from '../../collector/ways/desk.ts';
import type { Hand, Message, Sent } from '../../collector/ways/hand.ts';
import { ALERT_PRIORITY, type AlertName } from '../../protocol/alert-names.ts';
import { knownLogEntrySchema } from '../../protocol/log-entries.ts';
import { type Way, waysMessageSchema } from '../../protocol/ways.ts';
import { NIGHT, until } from './support.ts';

function fakeHand(way: Way, answer: () => Promise<Sent> = async () => ({ reached: true, text: 'Taken.' })) {
  const got: Message[] = [];
  const hand: Hand = {
    way,
    standing: () => ({ armed: true, why: `${way} is there.` }),
    send: (message, retrying) => {
      got.push(message);
      if (message.event === 'unanswered') retrying('Not yet.');
      return answer();
    },
    close: async () => undefined,
  };
  return { hand, got };
}

function desk(changes: Partial<WaysParts> = {}) {
  const time = { ms: 0 };
  const said: string[] = [];
  const phones: (string | null)[] = [];
  const ways = createWays({
    hands: {},
    whyNot: {
      push: 'No push.',
      loudspeaker: 'No loudspeaker.',
      mail: 'No mail.',
      webhook: 'No webhook.',
      mqtt: 'No broker.',
    },
    ladder: USUAL_LADDER,
    secure: () => null,
    monotonicMs: () => time.ms,
    wallMs: () => NIGHT + time.ms,
    onPhones: (text) => phones.push(text),
    say: (text) => said.push(text),
    ...changes,
  });
  onTestFinished(() => ways.close());
  const kiln = ways.kiln('Spring kiln');
  const standings = newStandings();
  return {
    ways,
    kiln,
    said,
    phones,
    time,
    alert(state: 'raised' | 'cleared', name: AlertName) {
      const change = {
        at: NIGHT,
        name,
        state,
        probe: null,
        priority: ALERT_PRIORITY[name],
        text: `${name} ${state}.`,
      } as const;
      const standing = standingAfter(standings, change, 'climbing');
      if (standing) kiln.alert({ kind: 'alert', ...change, standing });
    },
    ease(name: AlertName, easing: boolean) {
      for (const change of standingSays(standings, NIGHT, { name, probe: null, text: null, easing }))
        kiln.alert({ kind: 'standing', ...change });
    },
    log(entry: Record<string, unknown>) {
      const parsed = knownLogEntrySchema.parse(entry);
      for (const change of standingLogged(standings, NIGHT, parsed, null, 'climbing'))
        kiln.alert({ kind: 'standing', ...change });
    },
  };
}

const ACK = { log: 'ack', alert: 'falling', who: 'Mira', where: "Mira's phone" };

describe('the desk', () => {
  it('sends what is raised, answered and over, and writes down how it went', async () => {
    const webhook = fakeHand('webhook');
    const { ways, alert, log } = desk({ hands: { webhook: webhook.hand } });
    alert('raised', 'falling');
    log(ACK);
    alert('cleared', 'falling');
    expect(webhook.got.map(({ event }) => event)).toEqual(['raised', 'acknowledged', 'cleared']);
    expect(webhook.got[1]?.call?.acknowledged).toMatchObject({ who: 'Mira', where: "Mira's phone" });
    await until(() => ways.message().sends.length === 3);
    const message = waysMessageSchema.parse(ways.message());
    expect(message.sends.map(({ way, state, alert: of }) => [way, state, of])).toEqual(
      Array(3).fill(['webhook', 'delivered', `falling//${NIGHT}`]),
    );
  });

  it('says of each way whether it is armed, and why not', () => {
    const { ways } = desk({ hands: { mail: fakeHand('mail').hand } });
    const standing = new Map(ways.message().ways.map(({ way, armed, why }) => [way, { armed, why }]));
    expect(standing.get('mail')).toEqual({ armed: true, why: 'mail is there.' });
    expect(standing.get('webhook')).toEqual({ armed: false, why: 'No webhook.' });
    expect(standing.get('lamp')?.armed).toBe(false);
    expect([...standing.keys()]).toHaveLength(7);
  });

  it('says once what fails in the same way', async () => {
    const mail = fakeHand('mail', async () => ({ reached: false, text: 'The post is shut.' }));
    const { ways, alert, said } = desk({ hands: { mail: mail.hand } });
    for (let i = 0; i < 3; i += 1) {
      alert('raised', 'falling');
      alert('cleared', 'falling');
    }
    await until(() => ways.message().sends.length === 3);
    expect(said).toEqual(['mail: The post is shut.']);
  });

  it('sends nothing of what is raised on its shelf, until it comes back', () => {
    const webhook = fakeHand('webhook');
    const { alert, log } = desk({ hands: { webhook: webhook.hand } });
    alert('raised', 'falling');
    log({ log: 'shelve', alert: 'falling', minutes: 10 });
    log({ log: 'shelve', alert: 'falling', minutes: 0 });
    expect(webhook.got.map(({ event }) => event)).toEqual(['raised', 'quiet', 'raised']);
  });

  it('lets an alert that eases be, and calls anew if it comes back', () => {
    const webhook = fakeHand('webhook');
    const { alert, ease } = desk({ hands: { webhook: webhook.hand } });
    alert('raised', 'falling');
    ease('falling', true);
    ease('falling', false);
    expect(webhook.got.map(({ event }) => event)).toEqual(['raised', 'quiet', 'raised']);
  });

  it('tells once that an alert was answered, however it eases after', () => {
    const webhook = fakeHand('webhook');
    const { alert, ease, log } = desk({ hands: { webhook: webhook.hand } });
    alert('raised', 'falling');
    log(ACK);
    ease('falling', true);
    ease('falling', false);
    expect(webhook.got.map(({ event }) => event)).toEqual(['raised', 'acknowledged']);
  });

  it('tries a way on demand, once at a time, and says how it went', async () => {
    let letGo: (sent: Sent) => void = () => undefined;
    const webhook = fakeHand(
      'webhook',
      () =>
        new Promise((resolve) => {
          letGo = resolve;
        }),
    );
    const { ways } = desk({ hands: { webhook: webhook.hand } });
    const [first, second] = [ways.test('webhook'), ways.test('webhook')];
    await until(() => webhook.got.length > 0);
    letGo({ reached: true, text: 'Taken.' });
    expect([await first, await second]).toEqual(Array(2).fill({ reached: true, text: 'Taken.' }));
    expect(webhook.got).toHaveLength(1);
    expect(webhook.got[0]).toMatchObject({ event: 'test', call: null });
    expect(await ways.test('mqtt')).toEqual({ reached: false, text: 'No broker.' });
  });

  it('tries the lamp, and says that the board does not answer', async () => {
    const { ways, kiln } = desk();
    expect(await ways.test('lamp')).toMatchObject({ reached: false });
    kiln.lamp(() => null);
    expect(await ways.test('lamp')).toMatchObject({ reached: true, text: expect.stringContaining('listen') });
    kiln.lamp(() => 'No board is connected: nothing lights up.');
    expect(await ways.test('lamp')).toEqual({
      reached: false,
      text: 'No board is connected: nothing lights up.',
    });
  });

  it('tells the cores which armed phone is silent, and the pages too', async () => {
    const { ways, phones, time } = desk();
    const news: number[] = [];
    ways.onNews(() => news.push(1));
    ways.phone({ id: 'anna', name: "Anna's phone", armed: ['sound'] });
    expect(ways.message().phones).toEqual([
      { id: 'anna', name: "Anna's phone", armed: ['sound'], silent: false },
    ]);
    time.ms = 60_000;
    await until(() => phones.length > 0);
    expect(phones[0]).toContain("Anna's phone has not been heard for a minute");
    expect(ways.message().phones[0]?.silent).toBe(true);
    expect(news.length).toBeGreaterThanOrEqual(2);
  });
});
