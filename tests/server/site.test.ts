import { hostname } from 'node:os';
import { describe, expect, it } from 'vitest';
import { firingListSchema, recordedFiringSchema } from '../../protocol/firing-record.ts';
import { ask, KEY, readingOf, START, serve } from './support.ts';

describe('the page', () => {
  it('comes with its headers: nothing from elsewhere, no inline script, never framed', async () => {
    const { port } = await serve();
    const page = await ask(port, '/');
    expect(page.status).toBe(200);
    expect(page.text).toContain('<title>Spyhole</title>');
    expect(page.headers['cache-control']).toBe('no-cache');
    const policy = String(page.headers['content-security-policy']);
    expect(policy).toContain("default-src 'none'");
    expect(policy).toContain("script-src 'self'");
    expect(policy).toContain(`connect-src 'self' ws://127.0.0.1:${port}`);
    expect(policy).toContain("frame-ancestors 'none'");
    expect(policy).not.toMatch(/unsafe|\*/);
    expect(page.headers['x-content-type-options']).toBe('nosniff');
    expect(page.headers['x-frame-options']).toBe('DENY');
    expect(page.headers['referrer-policy']).toBe('no-referrer');
    expect(page.headers['x-powered-by']).toBeUndefined();
    expect(page.headers['strict-transport-security']).toBeUndefined();
  });

  it.each([
    ['/main-AB12CD34.js', 'max-age=31536000, immutable', 'text/javascript'],
    ['/words-latin-normal.woff2', 'no-cache', 'font/woff2'],
    ['/index.html', 'no-cache', 'text/html'],
  ])('%s is kept as %s', async (path, cacheControl, type) => {
    const { port } = await serve();
    const file = await ask(port, path);
    expect(file.status).toBe(200);
    expect(file.headers['cache-control']).toBe(cacheControl);
    expect(file.headers['content-type']).toContain(type);
  });
});

describe('what is not there', () => {
  it.each([
    '/nothing',
    '/../secret.txt',
    '/%2e%2e/secret.txt',
    '/..%2fsecret.txt',
    '/page/../../secret.txt',
    '/....//secret.txt',
    '/%5c..%5csecret.txt',
    '/.hidden',
    '/api/firings/nothing',
    '/api/firings/..',
    '/api/firings/%2e%2e',
    '/api/firings/..%2f..%2fetc',
    '/api/firings/..%5c..%5cetc',
    '/api/firings/.hidden',
    '/api/firings/a%2fb',
    '/api/firings/%00',
    '/api/firings/%2e%2e%2fsecret.txt/curve',
    '/api/secret',
  ])('%s', async (path) => {
    const asked: string[] = [];
    const find = async (id: string) => {
      asked.push(id);
      return null;
    };
    const { port } = await serve({ firings: { list: async () => [], view: find, curve: find } });
    const answer = await ask(port, path);
    expect([400, 403, 404]).toContain(answer.status);
    expect(answer.text).not.toContain('not for the page');
    // Only a plain folder name ever reaches the disk.
    for (const id of asked) expect(id).toMatch(/^[a-z]+$/);
  });

  it('is told for a path that cannot be decoded, without a word to the potter', async () => {
    const { port, troubles } = await serve();
    expect((await ask(port, '/api/firings/%E0%A4%A')).status).toBe(400);
    expect(troubles).toEqual([]);
  });

  it('is told as one sentence when the archive cannot be read, and the potter hears of it', async () => {
    const fail = async () => {
      throw new Error('EIO: the disk is hurt');
    };
    const { port, troubles } = await serve({ firings: { list: fail, view: fail, curve: fail } });
    const answer = await ask(port, '/api/firings');
    expect(answer.status).toBe(500);
    expect(answer.text).not.toContain('EIO');
    expect(troubles).toEqual([expect.stringContaining('EIO')]);
  });
});

describe('the firings', () => {
  const past = {
    id: '2030-11-02-autumn',
    name: 'autumn',
    startedAt: START - 1e10,
    endedAt: START - 9e9,
    topC: 1272,
    running: false,
  };

  it('are listed, the running one first and once only', async () => {
    const { port, feed } = await serve({
      firings: {
        list: async () => [past, { ...past, id: '2031-03-08-spring', name: 'as on disk' }],
        view: async () => null,
        curve: async () => null,
      },
    });
    feed.publish(readingOf(0, { low: 20 }, { kilnC: 20 }));
    const answer = await ask(port, '/api/firings');
    expect(answer.headers['cache-control']).toBe('no-store');
    const { firings } = firingListSchema.parse(JSON.parse(answer.text));
    expect(firings).toMatchObject([{ id: '2031-03-08-spring', name: 'spring', running: true }, past]);
  });

  it('give the running one at the width asked for, and a stretch of it alone', async () => {
    const { port, feed } = await serve();
    for (let second = 0; second < 2000; second += 1)
      feed.publish(readingOf(second, { low: 700 }, { kilnC: 700 }));
    const whole = recordedFiringSchema.parse(
      JSON.parse((await ask(port, '/api/firings/2031-03-08-spring?width=100')).text),
    );
    expect(whole.curve.at.length).toBeGreaterThan(150);
    expect(whole.curve.at.length).toBeLessThanOrEqual(404);
    const query = `width=500&from=${START + 100_000}&to=${START + 160_000}`;
    const curve = JSON.parse((await ask(port, `/api/firings/2031-03-08-spring/curve?${query}`)).text);
    expect(curve.at.filter((at: number) => at >= START + 100_000 && at <= START + 160_000)).toHaveLength(61);
    expect(curve.at.length).toBeLessThan(80);
  });

  it.each([
    'width=99',
    'width=10001',
    'width=x',
    'width=1.5',
    'from=x',
    'from=5&to=5',
    'width=500&width=600',
  ])('want a sound query, not %s', async (query) => {
    const { port } = await serve();
    expect((await ask(port, `/api/firings/2031-03-08-spring?${query}`)).status).toBe(400);
  });
});

describe('how the collector is', () => {
  it('is said in a line', async () => {
    const { port, feed } = await serve();
    feed.publish(readingOf(3, { low: 20 }));
    const answer = await ask(port, '/healthz');
    expect(JSON.parse(answer.text)).toEqual({
      ok: true,
      now: START,
      lastReadingAt: START + 3000,
      links: [],
      pages: 0,
    });
  });
});

describe('strangers', () => {
  it.each(['evil.example', 'evil.example:80', 'localhost', 'localhost:1'])(
    'by the host %s are turned away',
    async (host) => {
      const { port } = await serve();
      const answer = await ask(port, '/', { Host: host });
      expect(answer.status).toBe(403);
      expect(answer.text).toContain('open the link that it prints');
    },
  );

  it('may use this machine by its name', async () => {
    const { port } = await serve();
    expect((await ask(port, '/', { Host: `${hostname()}:${port}` })).status).toBe(200);
  });

  it.each(['POST', 'PUT', 'DELETE', 'PATCH'])('change nothing by %s', async (method) => {
    const { port } = await serve();
    expect((await ask(port, '/', { Origin: 'http://evil.example' }, method)).status).toBe(403);
    expect((await ask(port, '/', {}, method)).status).toBe(403);
    expect((await ask(port, '/', { Origin: `http://127.0.0.1:${port}` }, method)).status).toBe(405);
  });
});

describe('in the network', () => {
  it('every address asks for the key, also from this machine', async () => {
    const { port } = await serve({ lan: true });
    for (const path of ['/', '/main-AB12CD34.js', '/api/firings', '/healthz', '/nothing']) {
      const answer = await ask(port, path);
      expect(answer.status).toBe(403);
      expect(answer.text).toContain('Scan the code that the collector prints.');
    }
  });

  it('who asks for German is told in German what to do', async () => {
    const { port } = await serve({ lan: true });
    const answer = await ask(port, '/', { 'Accept-Language': 'de-AT,de;q=0.9,en;q=0.5' });
    expect(answer.text).toContain('Den Code scannen, den Spyhole');
    const other = await ask(port, '/', { 'Accept-Language': 'fr,en;q=0.5,de;q=0.2' });
    expect(other.text).toContain('Scan the code');
  });

  it('the scanned link sets the key as a cookie, and leads to the address without it', async () => {
    const { port, urls } = await serve({ lan: true });
    const link = new URL(urls.at(-1) ?? '');
    expect(link.port).toBe(String(port));
    const answer = await ask(port, `${link.pathname}${link.search}`);
    expect(answer.status).toBe(303);
    expect(answer.headers.location).toBe('/');
    expect(answer.headers['cache-control']).toBe('no-store');
    const [cookie = ''] = answer.headers['set-cookie'] ?? [];
    expect(cookie).toMatch(/^spyhole-key=draw-ring-key-0001; Max-Age=\d{8,};.*HttpOnly; SameSite=Strict$/);
    const page = await ask(port, '/', { Cookie: cookie.split(';')[0] });
    expect(page.status).toBe(200);
    expect(page.text).not.toContain(KEY);
  });

  it('an old code is told from none, and sets no cookie', async () => {
    const { port } = await serve({ lan: true });
    const answer = await ask(port, '/?key=yesterdays-key-00001');
    expect(answer.status).toBe(403);
    expect(answer.text).toContain('scan the one that the collector prints now');
    expect(answer.headers['set-cookie']).toBeUndefined();
  });

  it('a foreign name gets no cookie even with the key', async () => {
    const { port } = await serve({ lan: true });
    const answer = await ask(port, `/?key=${KEY}`, { Host: 'evil.example' });
    expect(answer.status).toBe(403);
    expect(answer.headers['set-cookie']).toBeUndefined();
  });

  it('a weak key is refused at the start', async () => {
    await expect(serve({ lan: true, pairingKey: 'short' })).rejects.toThrow('16 or more');
  });
});
