/** Certificates on disk: made once, made anew in time, of use to this user alone. */
import { X509Certificate } from 'node:crypto';
import { mkdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { fingerprintOf, givenCertificate, homeCertificate } from '../../collector/https/keep.ts';
import { tempFolder } from '../support/collector.ts';

const DAY_MS = 86_400_000;
const NOW = Date.now();
const HOME = { host: 'shed', names: ['spyhole.local', 'shed', 'localhost', '192.168.7.20', '[fd00::20]'] };

function folderOf(): string {
  const folder = tempFolder();
  onTestFinished(folder.remove);
  return join(folder.path, 'https');
}

describe('the home certificate', () => {
  it('is made with all names, and is for this user alone', async () => {
    const folder = folderOf();
    const { cert, authority } = await homeCertificate(folder, HOME, NOW);
    const parsed = new X509Certificate(cert);
    for (const name of ['spyhole.local', 'shed', 'localhost']) expect(parsed.checkHost(name)).toBe(name);
    for (const address of ['192.168.7.20', 'fd00::20']) expect(parsed.checkIP(address)).toBe(address);
    for (const file of ['ca.key', 'server.key'])
      expect(statSync(join(folder, file)).mode & 0o777).toBe(0o600);
    expect(authority?.fingerprint).toMatch(/^([0-9A-F]{2}:){31}[0-9A-F]{2}$/);
  });

  it('is the same at the next start', async () => {
    const folder = folderOf();
    const first = await homeCertificate(folder, HOME, NOW);
    expect(await homeCertificate(folder, HOME, NOW + DAY_MS)).toEqual(first);
  });

  it.each([
    { what: 'soon at its end', home: HOME, later: 370 },
    {
      what: 'the computer has a new address',
      home: { ...HOME, names: [...HOME.names, '192.168.7.21'] },
      later: 1,
    },
  ])('is made anew when $what, of the same authority', async ({ home, later }) => {
    const folder = folderOf();
    const first = await homeCertificate(folder, HOME, NOW);
    const second = await homeCertificate(folder, home, NOW + later * DAY_MS);
    expect(second.cert).not.toBe(first.cert);
    expect(second.authority).toEqual(first.authority);
  });

  it('leaves out what its authority cannot vouch for', async () => {
    const { cert } = await homeCertificate(
      folderOf(),
      { host: 'shed', names: ['spyhole.local', '8.8.8.8', 'kiln.example.org'] },
      NOW,
    );
    expect(new X509Certificate(cert).subjectAltName).toBe('DNS:spyhole.local');
  });

  it('is made anew where its files are torn', async () => {
    const folder = folderOf();
    const first = await homeCertificate(folder, HOME, NOW);
    writeFileSync(join(folder, 'ca.key'), readFileSync(join(folder, 'ca.key'), 'utf8').slice(0, 80));
    const second = await homeCertificate(folder, HOME, NOW);
    expect(second.authority?.fingerprint).not.toBe(first.authority?.fingerprint);
    expect(
      new X509Certificate(second.cert).verify(new X509Certificate(second.authority?.cert ?? '').publicKey),
    ).toBe(true);
  });

  it('that cannot be kept is told in one sentence', async () => {
    const folder = folderOf();
    mkdirSync(join(folder, '..'), { recursive: true });
    writeFileSync(folder, 'a file');
    await expect(homeCertificate(folder, HOME, NOW)).rejects.toThrow(/cannot be kept in \S+ \(\w+\)/);
  });
});

describe('a certificate that the user has', () => {
  async function files() {
    const folder = folderOf();
    const { cert, key } = await homeCertificate(folder, HOME, NOW);
    return { cert, key, folder, crt: join(folder, 'server.crt'), pem: join(folder, 'server.key') };
  }

  it('is taken with its key', async () => {
    const { crt, pem, key } = await files();
    expect(await givenCertificate(crt, pem, NOW)).toMatchObject({ key, authority: null });
  });

  it.each([
    { what: 'another key', of: 'ca.key', text: null, says: 'does not belong' },
    { what: 'no key', of: 'server.crt', text: null, says: 'no private key' },
    { what: 'a key that is not there', of: 'gone.key', text: null, says: 'cannot be read (ENOENT)' },
  ])('with $what is refused: $says', async ({ of, says }) => {
    const { crt, folder } = await files();
    await expect(givenCertificate(crt, join(folder, of), NOW)).rejects.toThrow(says);
  });

  it('that has ended, or is none, is refused', async () => {
    const { crt, pem } = await files();
    await expect(givenCertificate(crt, pem, NOW + 400 * DAY_MS)).rejects.toThrow('has ended');
    await expect(givenCertificate(pem, pem, NOW)).rejects.toThrow('no certificate');
  });
});

it('a fingerprint is that of the bytes, whatever stands around them', async () => {
  const { cert } = await homeCertificate(folderOf(), HOME, NOW);
  expect(fingerprintOf(cert)).toBe(fingerprintOf(`# a note\n${cert}`));
});
