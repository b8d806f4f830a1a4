/** MQTT, against a broker in this process (aedes). Retained messages and the will: MQTT 3.1.1, sections 3.3.1.3 and 3.1.2.5. */
import { type AddressInfo, createServer, type Socket } from 'node:net';
import { Aedes } from 'aedes';
import { connect } from 'mqtt';
import { describe, expect, it, onTestFinished } from 'vitest';
import { mqttHand, topicLevel } from '../../collector/ways/mqtt.ts';
import { mqttAlertSchema, mqttStateSchema } from '../../protocol/ways.ts';
import { callOf, messageOf, NIGHT, until } from './support.ts';

const nothing = () => undefined;

async function broker() {
  const aedes = await Aedes.createBroker();
  const sockets = new Set<Socket>();
  const server = createServer((socket) => {
    sockets.add(socket);
    socket.on('close', () => sockets.delete(socket));
    aedes.handle(socket);
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const { port } = server.address() as AddressInfo;
  onTestFinished(async () => {
    for (const socket of sockets) socket.destroy();
    await new Promise<void>((resolve) => server.close(() => resolve()));
    await new Promise<void>((resolve) => aedes.close(() => resolve()));
  });
  return {
    url: `mqtt://127.0.0.1:${port}`,
    /** The line of whoever has come first. */
    cut: () => [...sockets][0]?.destroy(),
  };
}

function handTo(url: string) {
  const hand = mqttHand({ url, base: 'spyhole' }, 50);
  onTestFinished(() => hand.close());
  return hand;
}

/** What somebody hears who subscribes only now, by topic: what is retained, and what comes. */
async function listener(
  url: string,
  each: (topic: string, text: string) => unknown = nothing,
): Promise<Map<string, string>> {
  const heard = new Map<string, string>();
  const client = connect(url);
  onTestFinished(async () => {
    await client.endAsync(true);
  });
  client.on('message', (topic, payload) => {
    heard.set(topic, payload.toString());
    each(topic, payload.toString());
  });
  await client.subscribeAsync('spyhole/#', { qos: 1 });
  return heard;
}

describe('the broker', () => {
  it('keeps each alert as it stands, for whoever subscribes later', async () => {
    const { url } = await broker();
    const hand = handTo(url);
    expect(await hand.send(messageOf('raised'), nothing)).toMatchObject({ reached: true });
    const probe = callOf('probe-fault', { probe: 'low' });
    await hand.send(messageOf('raised', probe), nothing);
    await hand.send(messageOf('cleared', probe), nothing);
    const heard = await listener(url);
    await until(() => heard.size >= 3);
    const alert = (topic: string) => mqttAlertSchema.parse(JSON.parse(heard.get(topic) ?? '{}'));
    expect(alert('spyhole/spring-kiln/alert/stall')).toMatchObject({
      state: 'up',
      alert: { name: 'stall', raised_at: '2031-03-08T05:00:00.000Z' },
    });
    expect(alert('spyhole/spring-kiln/alert/probe-fault/low')).toMatchObject({ state: 'over' });
    expect(heard.get('spyhole/status')).toBe('online');
  });

  it('says offline for us when the line is cut, and online when we are back', async () => {
    const { url, cut } = await broker();
    const hand = handTo(url);
    await until(() => hand.standing().armed);
    const said: string[] = [];
    const heard = await listener(url, (topic, text) => topic === 'spyhole/status' && said.push(text));
    await until(() => heard.has('spyhole/status'));
    cut();
    await until(() => said.length === 3);
    expect(said).toEqual(['online', 'offline', 'online']);
    await until(() => hand.standing().armed);
    expect(await hand.send(messageOf('test', null), nothing)).toMatchObject({ reached: true });
  });

  it('hears offline when the collector is stopped', async () => {
    const { url } = await broker();
    const hand = handTo(url);
    await until(() => hand.standing().armed);
    const heard = await listener(url);
    await hand.close();
    await until(() => heard.get('spyhole/status') === 'offline');
  });

  it('keeps the state of the kiln', async () => {
    const { url } = await broker();
    const hand = handTo(url);
    await until(() => hand.standing().armed);
    hand.state('Spring kiln', {
      at: new Date(NIGHT).toISOString(),
      stage: 'climbing',
      kiln_c: 912.4,
      climb_c_per_h: 61,
    });
    const heard = await listener(url);
    await until(() => heard.has('spyhole/spring-kiln/state'));
    const state = mqttStateSchema.parse(JSON.parse(heard.get('spyhole/spring-kiln/state') ?? '{}'));
    expect(state).toMatchObject({ stage: 'climbing', kiln_c: 912.4 });
  });

  it('that is not there is told so, and the alert waits for it', async () => {
    const { url } = await broker();
    const gone = mqttHand({ url: 'mqtt://127.0.0.1:1', base: 'spyhole' });
    onTestFinished(() => gone.close());
    expect(gone.standing().armed).toBe(false);
    const said: string[] = [];
    void gone.send(messageOf('raised'), (text) => said.push(text));
    await until(() => said.length > 0);
    expect(said[0]).toContain('is not reached');
    expect(await gone.send(messageOf('test', null), nothing)).toMatchObject({ reached: false });
    expect(url).not.toBe('');
  });
});

it.each([
  ['Spring kiln', 'spring-kiln'],
  ['a/b+c#d', 'a-b-c-d'],
  ['窯', 'kiln'],
  ['--x--', 'x'],
])('%s is %s in a topic', (name, level) => {
  expect(topicLevel(name)).toBe(level);
});
