import { EventEmitter } from 'node:events';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { setImmediate, setTimeout } from 'node:timers/promises';
import { describe, expect, it, onTestFinished } from 'vitest';
import { WebSocket, WebSocketServer } from 'ws';
import { createClients, type PageSocket } from '../../collector/server/clients.ts';
import type { Feed } from '../../collector/server/feed.ts';
import type { CollectorMessage } from '../../protocol/live-messages.ts';
import { ask, GREETING, openPage, pageOn, readingOf, serve, testFeed } from './support.ts';

const KB = 1024;

/** A socket that takes nothing until it is told to. */
function stuckSocket() {
  const emitter = new EventEmitter();
  const waiting: { bytes: number; done(): void }[] = [];
  const sent: CollectorMessage[] = [];
  const calls: string[] = [];
  const socket = {
    OPEN: 1,
    readyState: 1,
    bufferedAmount: 0,
    send(data: Buffer, _options: unknown, done: () => void) {
      sent.push(JSON.parse(String(data)));
      waiting.push({ bytes: data.length, done });
      socket.bufferedAmount += data.length;
    },
    ping: () => calls.push('ping'),
    close: (code: number, reason: string) => calls.push(`close ${code} ${reason}`),
    terminate() {
      calls.push('terminate');
      socket.readyState = 3;
      emitter.emit('close');
    },
    on: (name: string, listener: (...parts: unknown[]) => void) => emitter.on(name, listener),
  };
  return {
    socket: socket as unknown as PageSocket,
    sent,
    calls,
    say: (message: unknown) => emitter.emit('message', Buffer.from(JSON.stringify(message)), false),
    pong: () => emitter.emit('pong'),
    waitingBytes: () => socket.bufferedAmount,
    /** Lets the network take messages until at most `bytes` wait. */
    drainTo(bytes: number) {
      for (let next = waiting[0]; next && socket.bufferedAmount > bytes; next = waiting[0]) {
        waiting.shift();
        socket.bufferedAmount -= next.bytes;
        next.done();
      }
    },
  };
}

/** Readings of so many probes that each message is some kilobytes. */
const WIDE = Object.fromEntries(Array.from({ length: 60 }, (_, index) => [`p${index}`, 700]));

function publish(feed: Feed, from: number, count: number): void {
  for (let second = from; second < from + count; second += 1) feed.publish(readingOf(second, WIDE));
}

/** What a page knows after these messages: the newest number, and whether any was missed on the way. */
function knownAfter(messages: readonly CollectorMessage[]) {
  let n = 0;
  let gaps = 0;
  for (const message of messages) {
    if (message.type === 'welcome') n = message.n;
    else if (message.type !== 'beat' && 'n' in message) {
      if (message.n > n + 1) gaps += 1;
      n = Math.max(n, message.n);
    }
  }
  return { n, gaps };
}

const takeNothing = async () => null;

describe('a slow page', () => {
  it('is held at the mark, goes on only when it has drained well below it, and misses nothing', () => {
    const feed = testFeed();
    const clients = createClients(feed, takeNothing);
    const page = stuckSocket();
    clients.add(page.socket, 'page');
    page.say(GREETING);
    publish(feed, 0, 80);
    const heldAt = page.sent.length;
    expect(knownAfter(page.sent).n).toBeLessThan(80);
    expect(page.waitingBytes()).toBeLessThanOrEqual(256 * KB);
    // A little room is not enough to go on: no message dribbles out at the mark.
    page.drainTo(200 * KB);
    publish(feed, 80, 1);
    clients.beat();
    expect(page.sent).toHaveLength(heldAt);
    page.drainTo(64 * KB);
    expect(page.sent.length).toBeGreaterThan(heldAt + 1);
    for (let round = 0; round < 20; round += 1) page.drainTo(0);
    expect(knownAfter(page.sent)).toEqual({ n: 81, gaps: 0 });
    expect(page.sent.filter(({ type }) => type === 'welcome')).toHaveLength(1);
  });

  it('that is very far behind is welcomed anew, and not sent all that it missed', () => {
    const feed = testFeed();
    const clients = createClients(feed, takeNothing);
    const page = stuckSocket();
    clients.add(page.socket, 'page');
    page.say(GREETING);
    publish(feed, 0, 600);
    const before = page.sent.length;
    for (let round = 0; round < 20; round += 1) page.drainTo(0);
    expect(page.sent.slice(before).map(({ type }) => type)).toEqual(['welcome']);
    expect(knownAfter(page.sent)).toEqual({ n: 600, gaps: 0 });
  });

  it('never has more waiting than the mark, however much there is to say', () => {
    const feed = testFeed();
    const clients = createClients(feed, takeNothing);
    const page = stuckSocket();
    clients.add(page.socket, 'page');
    page.say(GREETING);
    let most = 0;
    for (let round = 0; round < 50; round += 1) {
      publish(feed, round * 40, 40);
      clients.beat();
      most = Math.max(most, page.waitingBytes());
      page.drainTo(round % 3 === 0 ? 60 * KB : 150 * KB);
      most = Math.max(most, page.waitingBytes());
    }
    expect(most).toBeGreaterThan(200 * KB);
    expect(most).toBeLessThanOrEqual(256 * KB);
    expect(knownAfter(page.sent).gaps).toBe(0);
  });

  it('that asks and asks and takes nothing is dropped at 4 MB', () => {
    const feed = testFeed();
    let now = 0;
    const clients = createClients(feed, takeNothing, () => now);
    const page = stuckSocket();
    clients.add(page.socket, 'page');
    page.say(GREETING);
    for (let count = 0; count < 100_000 && clients.count() > 0; count += 1) {
      now += 1000;
      page.say({ type: 'nonsense' });
    }
    expect(page.calls).toEqual(['terminate']);
    expect(clients.count()).toBe(0);
    expect(page.waitingBytes()).toBeLessThan(4.1 * KB * KB);
  });
});

describe('a page that is gone', () => {
  it('is found by three pings without an answer', () => {
    const clients = createClients(testFeed(), takeNothing);
    const page = stuckSocket();
    clients.add(page.socket, 'page');
    page.say(GREETING);
    for (let second = 0; second < 59; second += 1) {
      page.drainTo(0);
      clients.beat();
    }
    expect(page.calls).toEqual(['ping', 'ping', 'ping']);
    page.drainTo(0);
    clients.beat();
    expect(page.calls.at(-1)).toBe('terminate');
  });

  it('is not one that answers', () => {
    const clients = createClients(testFeed(), takeNothing);
    const page = stuckSocket();
    clients.add(page.socket, 'page');
    page.say(GREETING);
    for (let second = 0; second < 600; second += 1) {
      page.drainTo(0);
      clients.beat();
      page.pong();
    }
    expect(page.calls.every((call) => call === 'ping')).toBe(true);
    expect(clients.count()).toBe(1);
  });
});

/** The pages' end and the collector's end of real sockets. */
async function realSockets(feed: Feed): Promise<{ page: WebSocket; server: WebSocket }> {
  const clients = createClients(feed, takeNothing);
  const http: Server = createServer();
  const live = new WebSocketServer({ server: http, perMessageDeflate: false });
  const arrived = new Promise<WebSocket>((resolve) => live.on('connection', resolve));
  await new Promise<void>((resolve) => http.listen(0, '127.0.0.1', resolve));
  const page = new WebSocket(`ws://127.0.0.1:${(http.address() as AddressInfo).port}`);
  const server = await arrived;
  clients.add(server, 'page');
  if (page.readyState !== page.OPEN) await new Promise((resolve) => page.on('open', resolve));
  onTestFinished(async () => {
    page.terminate();
    server.terminate();
    live.close();
    http.close();
  });
  return { page, server };
}

describe('a real socket that stops reading', () => {
  it('costs the collector no memory while it is flooded, and is caught up when it reads again', async () => {
    const feed = testFeed();
    const { page, server } = await realSockets(feed);
    const heard = pageOn(page);
    heard.say(GREETING);
    await heard.next('welcome');
    page.pause();
    let most = 0;
    // 3,000 messages of 9 kB: more than all buffers of the system between the two.
    for (let round = 0; round < 150; round += 1) {
      publish(feed, round * 20, 20);
      most = Math.max(most, server.bufferedAmount);
      if (round % 10 === 0) await setImmediate();
    }
    expect(feed.newest()).toBe(3000);
    expect(most).toBeGreaterThan(200 * KB);
    expect(most).toBeLessThanOrEqual(257 * KB);
    page.resume();
    const welcome = await heard.next('welcome');
    expect(welcome.n).toBe(3000);
    feed.publish(readingOf(3000, { low: 20 }));
    while (knownAfter(heard.messages).n < 3001) await heard.next('reading');
    expect(knownAfter(heard.messages)).toEqual({ n: 3001, gaps: 0 });
  });

  it('for good is dropped, and the others go on', async () => {
    // Longer than from beat to beat, so that only a socket on which nothing moves is found.
    const { port, feed } = await serve({ stalledMs: 2500 });
    const slow = await openPage(port);
    const other = await openPage(port);
    for (const page of [slow, other]) {
      page.say(GREETING);
      await page.next('welcome');
    }
    const pages = async () => JSON.parse((await ask(port, '/healthz')).text).pages;
    expect(await pages()).toBe(2);
    slow.socket.pause();
    for (let second = 0; second < 3000; second += 20) {
      publish(feed, second, 20);
      while (knownAfter(other.messages).n < feed.newest()) await setTimeout(1);
    }
    while ((await pages()) > 1) await setTimeout(50);
    slow.socket.resume();
    expect((await slow.closed).code).toBe(1006);
    expect(knownAfter(slow.messages).n).toBeLessThan(3000);
    expect(knownAfter(slow.messages).gaps).toBe(0);
    feed.publish(readingOf(3000, { low: 20 }));
    while (knownAfter(other.messages).n < 3001) await setTimeout(1);
    expect(knownAfter(other.messages)).toEqual({ n: 3001, gaps: 0 });
  });
});
