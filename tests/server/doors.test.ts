import { describe, expect, it } from 'vitest';
import { isKey, isOwnHost, refusalOf } from '../../collector/server/doors.ts';

const NAMES = new Set(['localhost', '127.0.0.1', '[::1]', '192.168.7.20', 'kilnshed', 'kilnshed.local']);
const KEY = 'draw-ring-key-0001';

describe('the Host header', () => {
  it.each([
    ['localhost:8321', true],
    ['LOCALHOST:8321', true],
    ['localhost.:8321', true],
    ['127.0.0.1:8321', true],
    ['[::1]:8321', true],
    ['192.168.7.20:8321', true],
    ['kilnshed.local:8321', true],
    // Another port, or HTTP's own.
    ['localhost:8322', false],
    ['localhost', false],
    ['localhost:', false],
    ['localhost:08321x', false],
    // A foreign name that points here (DNS rebinding).
    ['evil.example:8321', false],
    ['localhost.evil.example:8321', false],
    ['127.0.0.1.evil.example:8321', false],
    ['192.168.7.21:8321', false],
    // What a URL may hold and a host may not.
    ['evil.example@localhost:8321', false],
    ['localhost:8321@evil.example', false],
    ['localhost:8321/', false],
    ['localhost:8321, evil.example', false],
    [' localhost:8321', false],
    ['', false],
    [undefined, false],
  ])('%j: %s', (host, own) => {
    expect(isOwnHost(host, { port: 8321, names: NAMES, secure: false })).toBe(own);
  });

  it('goes without a port where the collector has the port of HTTP', () => {
    expect(isOwnHost('localhost', { port: 80, names: NAMES, secure: false })).toBe(true);
    expect(isOwnHost('localhost', { port: 8321, names: NAMES, secure: false })).toBe(false);
  });
});

/** Nothing, read only, or read and act (open the live feed). */
type May = 'nothing' | 'read' | 'act';

describe('who may come in', () => {
  const host = 'kilnshed.local:8321';
  const own = `http://${host}`;
  const cookie = `other=1; spyhole-key=${KEY}`;
  const authorization = `Bearer ${KEY}`;
  const cases: [string, Record<string, string>, May, May][] = [
    // name, headers, in local mode, in the network
    ['nothing but the host', {}, 'read', 'nothing'],
    ['own page', { origin: own }, 'act', 'nothing'],
    ['own page in capitals', { origin: 'http://KILNSHED.local:8321' }, 'act', 'nothing'],
    ['own page with the key', { origin: own, cookie }, 'act', 'act'],
    ['the key alone', { cookie }, 'read', 'read'],
    ['a tool', { authorization }, 'act', 'act'],
    ['a tool with a wrong key', { authorization: 'Bearer wrong' }, 'read', 'nothing'],
    ['a key that is cut short', { origin: own, cookie: `spyhole-key=${KEY.slice(1)}` }, 'act', 'nothing'],
    ['an empty key', { origin: own, cookie: 'spyhole-key=' }, 'act', 'nothing'],
    ['a foreign page', { origin: 'http://evil.example', cookie }, 'read', 'read'],
    ['a page on another port', { origin: 'http://kilnshed.local:9000', cookie }, 'read', 'read'],
    ['a page over HTTPS', { origin: 'https://kilnshed.local:8321', cookie }, 'read', 'read'],
    ['a page without origin', { origin: 'null', cookie }, 'read', 'read'],
    [
      'a foreign page that has the tool key',
      { origin: 'http://evil.example', authorization },
      'read',
      'read',
    ],
  ];
  it.each(cases)('%s', (_name, headers, local, lan) => {
    for (const [open, expected] of [
      [false, local],
      [true, lan],
    ] as const) {
      const house = { port: 8321, names: NAMES, lan: open, pairingKey: KEY, secure: false };
      expect(refusalOf({ host, ...headers }, house, false) === null).toBe(expected !== 'nothing');
      expect(refusalOf({ host, ...headers }, house, true) === null).toBe(expected === 'act');
    }
  });

  it('over HTTPS comes from a page of HTTPS, with the cookie of HTTPS', () => {
    const house = { port: 8322, names: NAMES, lan: true, pairingKey: KEY, secure: true };
    const may = (headers: Record<string, string>) =>
      refusalOf({ host: 'localhost:8322', ...headers }, house, true) === null;
    const origin = 'https://localhost:8322';
    expect(may({ origin, cookie: `__Host-spyhole-key=${KEY}` })).toBe(true);
    expect(may({ origin, cookie: `spyhole-key=${KEY}` })).toBe(false);
    expect(may({ origin: 'http://localhost:8322', cookie: `__Host-spyhole-key=${KEY}` })).toBe(false);
    expect(isOwnHost('localhost', { port: 443, names: NAMES, secure: true })).toBe(true);
    expect(isOwnHost('localhost', { port: 80, names: NAMES, secure: true })).toBe(false);
  });

  it('never is one that calls this machine by another name, whatever else it has', () => {
    const house = { port: 8321, names: NAMES, lan: true, pairingKey: KEY, secure: false };
    const headers = { host: 'evil.example:8321', origin: 'http://evil.example:8321', cookie, authorization };
    expect(refusalOf(headers, house, false)?.status).toBe(403);
  });
});

describe('the key', () => {
  it.each([
    [KEY, true],
    [`${KEY} `, false],
    [KEY.toUpperCase(), false],
    ['', false],
    [null, false],
  ])('%j: %s', (given, right) => {
    expect(isKey(given, KEY)).toBe(right);
  });
});
