import { describe, expect, it } from 'vitest';
import { WebSocket } from 'ws';
import type { AlertOutput } from '../../collector/core/inputs.ts';
import { type CollectorMessage, collectorMessageSchema, LIVE_VERSION } from '../../protocol/live-messages.ts';
import { ask, START, serve, testFeed } from './support.ts';

const FIRINGS = { list: async () => [], view: async () => null, curve: async () => null };

const STALL: AlertOutput = {
  kind: 'alert',
  at: START + 60_000,
  name: 'stall',
  probe: null,
  state: 'raised',
  priority: 'look-soon',
  text: 'Standing still for 20 minutes. Let the embers burn down.',
};

async function twoKilns() {
  const feeds = { front: testFeed(), back: testFeed() };
  const logged: string[] = [];
  const served = (name: 'front' | 'back') => ({
    name,
    feed: feeds[name],
    firings: FIRINGS,
    onLog: async (entry: { id: string }) => {
      logged.push(`${name} ${entry.id}`);
      return null;
    },
  });
  const server = await serve({ kilns: [served('front'), served('back')] });
  return { server, feeds, logged };
}

/** A page of a kiln: what it is told, and a word of its own. */
async function page(port: number, path: string) {
  const socket = new WebSocket(`ws://127.0.0.1:${port}${path}`, { origin: `http://127.0.0.1:${port}` });
  const heard: CollectorMessage[] = [];
  socket.on('message', (data) => heard.push(collectorMessageSchema.parse(JSON.parse(String(data)))));
  await new Promise((resolve, reject) => socket.once('open', resolve).once('error', reject));
  const say = (message: unknown) => socket.send(JSON.stringify(message));
  say({ type: 'greet', version: LIVE_VERSION, run: null, n: 0, width: 400 });
  const until = async (holds: () => boolean) => {
    while (!holds()) await new Promise((resolve) => socket.once('message', resolve));
  };
  return { heard, say, until, close: () => socket.close() };
}

describe('a collector with two kilns', () => {
  it('lets one choose at the door, and each has its own page and firings', async () => {
    const { server } = await twoKilns();
    const door = await ask(server.port, '/');
    expect(door.status).toBe(200);
    expect(door.text).toContain('href="/kiln/front/"');
    expect(door.text).toContain('href="/kiln/back/"');
    expect((await ask(server.port, '/kiln/back')).headers.location).toBe('/kiln/back/');
    expect((await ask(server.port, '/kiln/back/')).text).toContain('<title>Spyhole</title>');
    expect((await ask(server.port, '/kiln/back/main-AB12CD34.js')).status).toBe(200);
    expect(JSON.parse((await ask(server.port, '/kiln/back/api/firings')).text).firings).toHaveLength(1);
    expect((await ask(server.port, '/api/firings')).status).toBe(404);
    expect((await ask(server.port, '/kiln/side/')).status).toBe(404);
    const health = JSON.parse((await ask(server.port, '/healthz')).text);
    expect(health.kilns.map(({ kiln }: { kiln: string }) => kiln)).toEqual(['front', 'back']);
  });

  it('keeps the scanned link on its kiln, and leads nowhere else', async () => {
    const { server } = await twoKilns();
    expect((await ask(server.port, '/kiln/back/?key=draw-ring-key-0001')).headers.location).toBe(
      '/kiln/back/',
    );
    expect((await ask(server.port, '//elsewhere/?key=draw-ring-key-0001')).headers.location).toBe('/');
  });

  it('tells on the page of one what calls at the other, and takes entries for each apart', async () => {
    const { server, feeds, logged } = await twoKilns();
    const front = await page(server.port, '/kiln/front/live');
    feeds.back.publish(STALL);
    const beats = () => front.heard.filter((message) => message.type === 'beat');
    await front.until(() => beats().some((beat) => (beat.others?.[0]?.alerts.length ?? 0) > 0));
    const beat = beats().at(-1);
    expect(beat?.others).toEqual([
      {
        kiln: 'back',
        path: '/kiln/back/',
        alerts: [
          {
            id: `stall//${STALL.at}`,
            name: 'stall',
            priority: 'look-soon',
            text: STALL.text,
            acknowledged: false,
          },
        ],
      },
    ]);
    // Nothing of the other kiln's record comes here.
    expect(front.heard.some((message) => message.type === 'alert')).toBe(false);
    front.say({ type: 'log', entry: { log: 'note', id: 'n1', note: 'ash' } });
    await front.until(() => front.heard.some((message) => message.type === 'taken'));
    expect(logged).toEqual(['front n1']);
    front.close();
  });
});

it('with one kiln its page is at the door, and its beats say nothing of others', async () => {
  const server = await serve();
  expect((await ask(server.port, '/')).text).toContain('<title>Spyhole</title>');
  const only = await page(server.port, '/live');
  await only.until(() => only.heard.some((message) => message.type === 'beat'));
  expect(only.heard.find((message) => message.type === 'beat')).not.toHaveProperty('others');
  only.close();
});
