/**
 * From a stall of the simulated kiln to a person: a capture that the demo kiln made, played through the live watch; a page
 * that is connected, a board's lamp, a webhook and a broker, all on this machine. Says when each was reached.
 */
import { createServer as createHttpServer } from 'node:http';
import { type AddressInfo, createServer, type Socket } from 'node:net';
import { join } from 'node:path';
import { Aedes } from 'aedes';
import { connect } from 'mqtt';
import { WebSocket } from 'ws';
import { USUAL_LADDER } from '../../alerts/ways/ladder.ts';
import type { Clock } from '../../collector/clock.ts';
import { newFiringOnDisk } from '../../collector/firing/begin.ts';
import { startWatch } from '../../collector/firing/watch.ts';
import { captureStart, readCapture } from '../../collector/links/capture-reader.ts';
import type { LinkHandlers } from '../../collector/links/link.ts';
import { startServer } from '../../collector/server/server.ts';
import { createWays } from '../../collector/ways/desk.ts';
import { mqttHand } from '../../collector/ways/mqtt.ts';
import { webhookHand } from '../../collector/ways/webhook.ts';
import { collectorMessageSchema, LIVE_VERSION } from '../../protocol/live-messages.ts';
import { defaultPlan } from '../../protocol/plan.ts';
import { mqttAlertSchema, webhookBodySchema } from '../../protocol/ways.ts';

const CAPTURE = 'sample-captures/wet-wood-two-stalls.capture';
const KEY = 'a-pairing-key-of-tests';
const nothing = () => undefined;

export const REACHED = ['page', 'lamp', 'webhook', 'mqtt'] as const;

/** Milliseconds from the line on which the core raised the stall, each. `data`, `page`: folders for the firing and the page's files. */
export async function stallToWays(data: string): Promise<Record<(typeof REACHED)[number], number>> {
  const undo: (() => unknown)[] = [];
  let raisedAt: number | null = null;
  let heardAt = 0;
  const reached = new Map<string, number>();
  let all: () => void = nothing;
  const done = new Promise<void>((resolve) => {
    all = resolve;
  });
  const note = (way: (typeof REACHED)[number]) => {
    if (reached.has(way)) return;
    reached.set(way, performance.now());
    if (reached.size === REACHED.length) all();
  };
  try {
    const hook = createHttpServer((request, response) => {
      let body = '';
      request.on('data', (chunk) => {
        body += chunk;
      });
      request.on('end', () => {
        const { event, alert } = webhookBodySchema.parse(JSON.parse(body));
        if (event === 'raised' && alert?.name === 'stall') note('webhook');
        response.end();
      });
    });
    const hookPort = await listening(hook);
    undo.push(() => {
      hook.closeAllConnections();
      hook.close();
    });

    const aedes = await Aedes.createBroker();
    const sockets = new Set<Socket>();
    const broker = createServer((socket) => {
      sockets.add(socket);
      aedes.handle(socket);
    });
    const brokerUrl = `mqtt://127.0.0.1:${await listening(broker)}`;
    undo.push(() => {
      for (const socket of sockets) socket.destroy();
      broker.close();
      aedes.close();
    });
    const subscriber = connect(brokerUrl);
    undo.push(() => subscriber.endAsync(true));
    subscriber.on('message', (topic, payload) => {
      if (!topic.endsWith('/alert/stall')) return;
      if (mqttAlertSchema.parse(JSON.parse(payload.toString())).state === 'up') note('mqtt');
    });
    await subscriber.subscribeAsync('spyhole/#', { qos: 1 });

    const mqtt = mqttHand({ url: brokerUrl, base: 'spyhole' });
    while (!mqtt.standing().armed) await new Promise((resolve) => setTimeout(resolve, 5));
    const ways = createWays({
      hands: {
        mqtt,
        webhook: webhookHand(
          { url: `http://127.0.0.1:${hookPort}/`, secret: 'a secret of the tests', timeoutS: 10 },
          { now: Date.now, random: Math.random, sleep: async () => undefined },
        ),
      },
      whyNot: { push: '', loudspeaker: '', mail: '', webhook: '', mqtt: '' },
      ladder: USUAL_LADDER,
      secure: () => null,
      monotonicMs: () => performance.now(),
      wallMs: Date.now,
      onPhones: nothing,
      say: nothing,
    });
    undo.push(() => ways.close());
    const kiln = ways.kiln('spring');

    let now = await captureStart(CAPTURE);
    // The kiln's time goes as the capture's lines say; the ways go by real time, as ever.
    const clock: Clock = { rate: 1, now: () => now, after: () => nothing, skip: nothing };
    const settings = { clock, dataFolder: data, plan: defaultPlan(), source: 'board' as const };
    const firing = await newFiringOnDisk({ ...settings, run: 'stall', onTrouble: nothing, say: nothing });
    const server = await startServer({
      kilns: [
        {
          name: null,
          feed: firing.feed,
          firings: { list: async () => [], view: async () => null, curve: async () => null },
          onLog: async () => null,
          onCheck: () => ({ boards: [], refused: null }),
        },
      ],
      clock,
      staticFolder: join(data, 'no-page'),
      port: 0,
      portAsked: false,
      lan: false,
      pairingKey: KEY,
      onTrouble: nothing,
      ways,
    });
    undo.push(() => server.close());
    const page = new WebSocket(`ws://127.0.0.1:${server.port}/live`, {
      headers: { Origin: `http://127.0.0.1:${server.port}` },
    });
    page.on('message', (text) => {
      const message = collectorMessageSchema.parse(JSON.parse(String(text)));
      if (message.type === 'alert' && message.state === 'raised' && message.alert.name === 'stall')
        note('page');
      // At this speed a page may be told all at once what it could not take one by one.
      else if (message.type === 'welcome' && message.alerts.some(({ alert }) => alert.name === 'stall'))
        note('page');
    });
    await new Promise((resolve) => page.on('open', resolve));
    page.send(JSON.stringify({ type: 'greet', version: LIVE_VERSION, run: null, n: 0, width: 400 }));

    let board: LinkHandlers | null = null;
    const watch = startWatch(
      {
        ...firing,
        clock,
        source: 'board',
        say: nothing,
        ways: {
          reading: kiln.reading,
          alert: (output) => {
            if (output.kind === 'alert' && output.name === 'stall' && output.state === 'raised')
              raisedAt ??= heardAt;
            kiln.alert(output);
          },
        },
        links: [
          {
            name: '',
            open: (handlers) => {
              board = handlers;
              return {
                name: 'the simulated board',
                send: (line) => {
                  if (line.startsWith('$L,1')) note('lamp');
                },
                reopen: nothing,
                close: async () => undefined,
              };
            },
          },
        ],
      },
      firing.beginning,
    );
    undo.push(() => watch.close());
    const link = board as LinkHandlers | null;
    link?.standing('open', 'The board is heard.');
    for await (const { lines } of readCapture(CAPTURE)) {
      for (const { at, direction, text } of lines) {
        if (direction !== '<' || raisedAt !== null) continue;
        now = at;
        heardAt = performance.now();
        link?.line(at, text);
      }
      if (raisedAt !== null) break;
    }
    await done;
    page.terminate();
    const at = (way: string) => (reached.get(way) ?? Number.POSITIVE_INFINITY) - (raisedAt ?? 0);
    return { page: at('page'), lamp: at('lamp'), webhook: at('webhook'), mqtt: at('mqtt') };
  } finally {
    for (const each of undo.reverse()) await each();
  }
}

async function listening(
  server: ReturnType<typeof createServer> | ReturnType<typeof createHttpServer>,
): Promise<number> {
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', () => resolve()));
  return (server.address() as AddressInfo).port;
}
