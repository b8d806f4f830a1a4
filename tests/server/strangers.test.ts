import { once } from 'node:events';
import { connect, type Socket } from 'node:net';
import { setTimeout as sleep } from 'node:timers/promises';
import { describe, expect, it, onTestFinished } from 'vitest';
import { ask, GREETING, KEY, openAndGreet, openPage, readingOf, serve, testFeed } from './support.ts';

function dial(port: number): Socket {
  const socket = connect({ port, host: '127.0.0.1', allowHalfOpen: true });
  socket.on('error', () => undefined);
  socket.resume();
  onTestFinished(() => {
    socket.destroy();
  });
  return socket;
}

describe('whoever may not come in', () => {
  it('is let go of, even if he does not hang up', async () => {
    const { port } = await serve();
    const socket = dial(port);
    socket.write(
      `GET /live HTTP/1.1\r\nHost: 127.0.0.1:${port}\r\nOrigin: http://kiln.example\r\nConnection: Upgrade\r\nUpgrade: websocket\r\nSec-WebSocket-Version: 13\r\nSec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\n\r\n`,
    );
    await once(socket, 'end');
    // As long as the collector holds its end, whatever is sent goes through; once it has let go, this end breaks.
    while (!socket.destroyed) {
      socket.write('?');
      await sleep(10);
    }
    expect(socket.errored).toMatchObject({ code: expect.stringMatching(/ECONNRESET|EPIPE/) });
  });

  it('gets only so many connections, and none for good', async () => {
    const { port } = await serve();
    const sockets = Array.from({ length: 300 }, () => dial(port));
    let turnedAway = 0;
    for (const socket of sockets)
      socket.on('end', () => {
        turnedAway += 1;
      });
    while (turnedAway < 300 - 256) await sleep(10);
    for (const socket of sockets) socket.destroy();
    const answered = async () =>
      (await ask(port, '/healthz', { Authorization: `Bearer ${KEY}` }).catch(() => null))?.status;
    while ((await answered()) !== 200) await sleep(10);
    expect(turnedAway).toBe(300 - 256);
  });
});

describe("a fault of the collector's own over one page's message", () => {
  it('costs that page its connection, and no other', async () => {
    const feed = testFeed();
    const { port } = await serve({ feed });
    const { page: other } = await openAndGreet(port);
    const { welcome } = feed;
    feed.welcome = () => {
      throw new Error('a fault');
    };
    const page = await openPage(port);
    page.say(GREETING);
    expect(await page.closed).toMatchObject({ code: 1011 });
    feed.welcome = welcome;
    feed.publish(readingOf(0, { low: 20 }));
    expect(await other.next('reading')).toMatchObject({ n: 1 });
  });
});
