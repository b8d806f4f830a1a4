/** MQTT: what stands is retained, so that whoever subscribes later knows it too. The topics are public: protocol/ways.md. */
import { connect, type MqttClient } from 'mqtt';
import type { z } from 'zod';
import { formatTime } from '../../protocol/times.ts';
import { type mqttAlertSchema, type mqttStateSchema, WAYS_VERSION } from '../../protocol/ways.ts';
import { type Hand, type Message, whyOf } from './hand.ts';
import { toldAlert } from './told-alert.ts';

export interface MqttSettings {
  url: string;
  username?: string | undefined;
  password?: string | undefined;
  /** Topics begin with it. */
  base: string;
}

export type KilnState = Omit<z.infer<typeof mqttStateSchema>, 'spyhole'>;

export interface MqttHand extends Hand {
  /** Retained as the kiln's state. */
  state(kiln: string, state: KilnState): void;
}

const RECONNECT_MS = 5000;
const CONNECT_WITHIN_MS = 10_000;
/** A broker that does not answer a test in this time has not got it. */
const TEST_WITHIN_MS = 10_000;
const GOODBYE_MS = 1000;

const STATES: Record<Message['event'], z.infer<typeof mqttAlertSchema>['state']> = {
  raised: 'up',
  said: 'up',
  unanswered: 'up',
  test: 'up',
  acknowledged: 'acknowledged',
  quiet: 'quiet',
  cleared: 'over',
};

/** A kiln's or probe's name as one level of a topic: `Spring kiln` to `spring-kiln`. */
export function topicLevel(name: string): string {
  const plain = name
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-+|-+$/g, '');
  return plain === '' ? 'kiln' : plain;
}

/** Connects, and again whenever the broker is gone, until closed. Never throws for what the broker does. */
export function mqttHand(
  { url, username, password, base }: MqttSettings,
  reconnectMs = RECONNECT_MS,
): MqttHand {
  const { host } = new URL(url);
  const status = `${base}/status`;
  let trouble = 'it has not answered yet';
  const client: MqttClient = connect(url, {
    ...(username !== undefined && { username }),
    ...(password !== undefined && { password }),
    clientId: `spyhole-${Math.random().toString(36).slice(2, 12)}`,
    // The broker says it for us if we go without a word (MQTT 3.1.1, section 3.1.2.5).
    will: { topic: status, payload: Buffer.from('offline'), qos: 1, retain: true },
    reconnectPeriod: reconnectMs,
    connectTimeout: CONNECT_WITHIN_MS,
    resubscribe: false,
  });
  client.on('connect', () => {
    trouble = '';
    client.publish(status, 'online', { qos: 1, retain: true });
  });
  client.on('error', (error) => {
    trouble = whyOf(error);
  });
  client.on('close', () => {
    if (trouble === '') trouble = 'the connection has ended';
  });

  const publish = (topic: string, value: object, retain: boolean) =>
    client.publishAsync(topic, JSON.stringify(value), { qos: 1, retain });
  const notReached = () => `The broker ${host} is not reached: ${trouble}.`;

  async function test(kiln: string): Promise<boolean> {
    const sent = publish(`${base}/test`, { spyhole: WAYS_VERSION, at: formatTime(Date.now()), kiln }, false);
    const late = new Promise<false>((resolve) => {
      setTimeout(() => resolve(false), TEST_WITHIN_MS).unref();
    });
    return Promise.race([sent.then(() => true), late]);
  }

  return {
    way: 'mqtt',
    standing: () =>
      client.connected
        ? { armed: true, why: `The broker ${host} is told, under ${base}/.` }
        : { armed: false, why: `${notReached()} It is tried again every 5 seconds.` },
    async send({ event, kiln, step, call }, retrying) {
      try {
        if (call === null) {
          if (!client.connected || !(await test(kiln))) return { reached: false, text: notReached() };
          return { reached: true, text: `The broker ${host} has taken it, under ${base}/test.` };
        }
        if (!client.connected) retrying(`${notReached()} It is told once it is.`);
        const probe = call.probe === null ? '' : `/${topicLevel(call.probe)}`;
        const topic = `${base}/${topicLevel(kiln)}/alert/${call.name}${probe}`;
        await publish(
          topic,
          { spyhole: WAYS_VERSION, state: STATES[event], step, alert: toldAlert(call) },
          true,
        );
        return { reached: true, text: `The broker ${host} has taken it.` };
      } catch (cause) {
        return { reached: false, text: `The broker ${host} has not taken it: ${whyOf(cause)}.` };
      }
    },
    state(kiln, state) {
      // What is old by the time the broker is back is not kept for it.
      if (!client.connected) return;
      const topic = `${base}/${topicLevel(kiln)}/state`;
      void publish(topic, { spyhole: WAYS_VERSION, ...state }, true).catch(() => undefined);
    },
    async close() {
      if (client.connected) {
        const said = client.publishAsync(status, 'offline', { qos: 1, retain: true }).catch(() => undefined);
        await Promise.race([said, new Promise((resolve) => setTimeout(resolve, GOODBYE_MS).unref())]);
      }
      await client.endAsync(true).catch(() => undefined);
    },
  };
}
