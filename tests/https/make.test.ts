/** Certificates of the local authority, held against OpenSSL as Node has it: what it refuses, browsers refuse. */
import { X509Certificate } from 'node:crypto';
import { createServer } from 'node:https';
import type { AddressInfo } from 'node:net';
import { connect } from 'node:tls';
import { beforeAll, describe, expect, it, onTestFinished } from 'vitest';
import { makeAuthority, makeServer, type Pair } from '../../collector/https/make.ts';
import { addressBytes, isHomeAddress, isHomeName } from '../../collector/https/name-constraints.ts';

const NOW = Date.now();
const DAY_MS = 86_400_000;
let authority: Pair;

beforeAll(async () => {
  authority = await makeAuthority('shed', ['shed'], NOW);
});

/** What a client that trusts the authority says to this server, opened as `servername`. */
async function answer(pair: Pair, servername: string): Promise<string> {
  const server = createServer(pair, (_request, response) => response.end('here'));
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  onTestFinished(() => new Promise<void>((resolve) => server.close(() => resolve())));
  const { port } = server.address() as AddressInfo;
  return new Promise((resolve) => {
    const socket = connect({ host: '127.0.0.1', port, servername, ca: authority.cert }, () => {
      resolve(socket.authorized ? 'trusted' : String(socket.authorizationError));
      socket.end();
    });
    socket.on('error', (error) => resolve(error.message));
  });
}

describe('a server of the local authority', () => {
  it.each(['spyhole.local', 'shed.local', 'shed', 'localhost'])('is trusted as %s', async (name) => {
    const pair = await makeServer(authority, ['spyhole.local', 'shed.local', 'shed', 'localhost'], NOW);
    expect(await answer(pair, name)).toBe('trusted');
  });

  it('is trusted by its address', async () => {
    const pair = await makeServer(authority, ['192.168.7.20', '127.0.0.1', 'fd00::20'], NOW);
    const cert = new X509Certificate(pair.cert);
    for (const address of ['192.168.7.20', '127.0.0.1', 'fd00::20'])
      expect(cert.checkIP(address)).toBe(address);
    expect(cert.checkIP('192.168.7.21')).toBeUndefined();
    expect(await answer(pair, '')).toBe('trusted');
  });

  it('is not trusted under another name', async () => {
    const pair = await makeServer(authority, ['spyhole.local'], NOW);
    expect(await answer(pair, 'other.local')).toContain('other.local');
  });

  it('lasts no longer than browsers take', async () => {
    const { validFrom, validTo, ca } = new X509Certificate(
      (await makeServer(authority, ['spyhole.local'], NOW)).cert,
    );
    expect((Date.parse(validTo) - Date.parse(validFrom)) / DAY_MS).toBeLessThanOrEqual(398);
    expect(ca).toBe(false);
  });

  it('has keys of the curve P-256', () => {
    const { publicKey, ca } = new X509Certificate(authority.cert);
    expect(publicKey.asymmetricKeyDetails?.namedCurve).toBe('prime256v1');
    expect(ca).toBe(true);
  });
});

describe('whoever steals the authority', () => {
  it.each(['bank.example.com', 'spyhole.local.example.com'])('cannot vouch for %s', async (name) => {
    const pair = await makeServer(authority, [name], NOW);
    expect(await answer(pair, name)).toBe('permitted subtree violation');
  });

  it('cannot vouch for an address in the internet', async () => {
    const pair = await makeServer(authority, ['8.8.8.8', 'spyhole.local'], NOW);
    expect(await answer(pair, 'spyhole.local')).toBe('permitted subtree violation');
  });

  it('cannot make another authority of it', async () => {
    const { cert } = await makeServer(authority, ['spyhole.local'], NOW);
    const sub = await makeServer(
      { cert, key: (await makeServer(authority, ['spyhole.local'], NOW)).key },
      ['shed'],
      NOW,
    );
    expect(await answer({ cert: sub.cert + cert, key: sub.key }, 'shed')).not.toBe('trusted');
  });
});

describe('what the authority may vouch for', () => {
  it.each([
    ['spyhole.local', true],
    ['shed', true],
    ['shed.lan', true],
    ['notlocal', false],
    ['kiln.example.org', false],
  ])('%s: %s', (name, may) => {
    expect(isHomeName(name, ['shed'])).toBe(may);
  });

  it.each([
    ['10.0.0.1', true],
    ['172.31.255.255', true],
    ['172.32.0.1', false],
    ['192.168.1.1', true],
    ['8.8.8.8', false],
    ['fd12:3456::1', true],
    ['fe80::1', true],
    ['2001:db8::1', false],
  ])('%s: %s', (address, may) => {
    expect(isHomeAddress(address)).toBe(may);
  });

  it.each([
    ['192.168.7.20', 'c0a80714'],
    ['::1', '00000000000000000000000000000001'],
    ['fd00:1::ab:2', 'fd00000100000000000000000 0ab0002'.replace(' ', '')],
    ['2001:db8:0:0:1:2:3:4', '20010db8000000000001000200030004'],
  ])('%s has the bytes %s', (address, hex) => {
    expect(addressBytes(address).toString('hex')).toBe(hex);
  });
});
