/** The page over HTTPS beside HTTP, and how a phone comes to trust it. */
import { request as httpsRequest } from 'node:https';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { WebSocket } from 'ws';
import { homeCertificate } from '../../collector/https/keep.ts';
import type { ServerOptions } from '../../collector/server/server.ts';
import { type Answer, ask, GREETING, KEY, pageOn, serve } from '../server/support.ts';
import { tempFolder } from '../support/collector.ts';

async function secured(options: Partial<ServerOptions> = {}) {
  const folder = tempFolder();
  onTestFinished(folder.remove);
  const home = { host: 'shed', names: ['spyhole.local', 'localhost', '127.0.0.1'] };
  const { cert, key, authority } = await homeCertificate(join(folder.path, 'https'), home, Date.now());
  const ca = authority?.cert ?? '';
  const server = await serve({
    secure: { cert, key, authority: ca, port: 0, portAsked: false },
    names: ['spyhole.local'],
    ...options,
  });
  const port = server.securePort ?? 0;
  const askSecurely = (path: string, headers: Record<string, string> = {}): Promise<Answer> =>
    new Promise((resolve, reject) => {
      const asked = httpsRequest({ host: '127.0.0.1', port, path, ca, headers, agent: false }, (response) => {
        let text = '';
        response.on('data', (part) => {
          text += part;
        });
        response.on('end', () =>
          resolve({ status: response.statusCode ?? 0, headers: response.headers, text }),
        );
      });
      asked.on('error', reject);
      asked.end();
    });
  return { server, port, ca, askSecurely };
}

describe('over HTTPS', () => {
  it('the page is served to whoever trusts the authority, and to nobody else', async () => {
    const { askSecurely, port } = await secured();
    expect(await askSecurely('/')).toMatchObject({ status: 200 });
    const stranger = new Promise((_resolve, reject) => {
      httpsRequest({ host: '127.0.0.1', port, path: '/' }).on('error', reject).end();
    });
    await expect(stranger).rejects.toMatchObject({ code: 'SELF_SIGNED_CERT_IN_CHAIN' });
  });

  it('the page may open its socket over TLS, and hears the kiln on it', async () => {
    const { askSecurely, port, ca } = await secured();
    const { headers } = await askSecurely('/');
    expect(headers['content-security-policy']).toContain(`wss://127.0.0.1:${port}`);
    const socket = new WebSocket(`wss://127.0.0.1:${port}/live`, {
      ca,
      headers: { Origin: `https://127.0.0.1:${port}` },
    });
    onTestFinished(() => socket.terminate());
    const page = pageOn(socket);
    await new Promise((resolve) => socket.on('open', resolve));
    page.say(GREETING);
    expect(await page.next('welcome')).toMatchObject({ type: 'welcome' });
  });

  it('the key goes into a cookie that HTTP never sees', async () => {
    const { askSecurely } = await secured({ lan: true });
    const opened = await askSecurely(`/?key=${KEY}`);
    expect(opened).toMatchObject({ status: 303, headers: { location: '/' } });
    const [cookie = ''] = opened.headers['set-cookie'] ?? [];
    expect(cookie).toMatch(/^__Host-spyhole-key=/);
    for (const part of ['Secure', 'HttpOnly', 'SameSite=Strict', 'Path=/']) expect(cookie).toContain(part);
    expect(cookie).not.toContain('Domain');
    expect(await askSecurely('/', { cookie: cookie.split(';')[0] ?? '' })).toMatchObject({ status: 200 });
    expect(await askSecurely('/', { cookie: `spyhole-key=${KEY}` })).toMatchObject({ status: 403 });
  });

  it('HTTP stays as it was, and is never sent on', async () => {
    const { server, askSecurely } = await secured();
    expect(await ask(server.port, '/')).toMatchObject({ status: 200 });
    expect((await ask(server.port, '/')).headers['content-security-policy']).toContain(
      `ws://127.0.0.1:${server.port}`,
    );
    expect((await askSecurely('/')).headers['strict-transport-security']).toBeUndefined();
  });

  it('it is found by its name in the network', async () => {
    const { askSecurely, port } = await secured();
    expect(await askSecurely('/', { host: `spyhole.local:${port}` })).toMatchObject({ status: 200 });
    expect(await askSecurely('/', { host: `localhost.:${port + 1}` })).toMatchObject({ status: 403 });
  });
});

describe('to trust it', () => {
  it('the certificate is had over HTTP without a key, as phones install it; nothing else is', async () => {
    const { server, ca } = await secured({ lan: true });
    const got = await ask(server.port, '/trust/ca.crt');
    expect(got).toMatchObject({ status: 200, text: ca });
    expect(got.headers['content-type']).toBe('application/x-x509-ca-cert');
    expect(await ask(server.port, '/trust')).toMatchObject({ status: 200 });
    for (const path of ['/', '/trust/ca.key', '/trust/../', '/trust/server.key', '/trustee'])
      expect([path, (await ask(server.port, path)).status]).toEqual([path, 403]);
    expect(await ask(server.port, '/trust', { host: `evil.example:${server.port}` })).toMatchObject({
      status: 403,
    });
  });

  it('there are steps for each system, the fingerprint, and the way on; the key for those alone who have it', async () => {
    const { server, port } = await secured({ lan: true });
    const stranger = await ask(server.port, '/trust');
    for (const system of ['iPhone', 'Android', 'Windows', 'macOS', 'Linux', 'Firefox'])
      expect(stranger.text).toContain(system);
    expect(stranger.text).toMatch(/([0-9A-F]{2}:){31}[0-9A-F]{2}/);
    expect(stranger.text).toContain(`https://127.0.0.1:${port}/`);
    expect(stranger.text).not.toContain(KEY);
    const paired = await ask(server.port, '/trust', { cookie: `spyhole-key=${KEY}` });
    expect(paired.text).toContain(`https://127.0.0.1:${port}/?key=${KEY}`);
  });

  it('there is nothing where the page is not served over HTTPS', async () => {
    const server = await serve();
    expect(await ask(server.port, '/trust')).toMatchObject({ status: 404 });
  });
});

it('another certificate is taken while pages are open', async () => {
  const { server, askSecurely } = await secured();
  const folder = tempFolder();
  onTestFinished(folder.remove);
  const other = await homeCertificate(
    join(folder.path, 'https'),
    { host: 'shed', names: ['127.0.0.1'] },
    Date.now(),
  );
  server.renew(other);
  await expect(askSecurely('/')).rejects.toMatchObject({
    code: expect.stringMatching(/CERT|SIGNATURE|ISSUER/),
  });
});
