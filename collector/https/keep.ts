/** The certificates on disk: made when they are first wanted, made anew before they end, kept for this user alone. */
import { createPrivateKey, X509Certificate } from 'node:crypto';
import { readFile, rename, writeFile } from 'node:fs/promises';
import { isIP } from 'node:net';
import { join } from 'node:path';
import { makeFolders } from '../archive/make-folders.ts';
import { errorCode } from '../error-code.ts';
import { makeAuthority, makeServer, type Pair } from './make.ts';
import { isHomeAddress, isHomeName } from './name-constraints.ts';

const DAY_MS = 86_400_000;
/** Before a firing of a week and what comes after it. */
const RENEWED_BEFORE_MS = 30 * DAY_MS;

/** What the page is served with. `authority`: what phones are to trust, or null where the certificate was given. */
export interface Certificate extends Pair {
  authority: { cert: string; fingerprint: string } | null;
}

export interface HomeNames {
  /** This machine's own name. */
  host: string;
  /** All names and addresses that the page may be opened by. */
  names: readonly string[];
}

/** `aa:bb:…` of SHA-256, as phones and browsers show it. */
export function fingerprintOf(cert: string): string {
  return new X509Certificate(cert).fingerprint256;
}

/**
 * Of the local authority in `folder`, which is made if there is none. Rejects with one sentence where the files cannot be
 * written.
 */
export async function homeCertificate(
  folder: string,
  { host, names }: HomeNames,
  nowMs: number,
): Promise<Certificate> {
  const plain = names.map((name) => name.replace(/^\[|\]$/g, ''));
  try {
    await makeFolders(folder, 0o700);
    const kept = await readPair(folder, 'ca');
    const authority =
      kept !== null && lastsUntil(kept, nowMs + RENEWED_BEFORE_MS)
        ? kept
        : await writePair(folder, 'ca', await makeAuthority(host, [host], nowMs));
    const vouched = plain.filter((name) =>
      isIP(name) === 0 ? isHomeName(name, [host]) : isHomeAddress(name),
    );
    const before = await readPair(folder, 'server');
    const server =
      before !== null && isStillGood(before, authority, vouched, nowMs)
        ? before
        : await writePair(folder, 'server', await makeServer(authority, vouched, nowMs));
    return {
      cert: server.cert + authority.cert,
      key: server.key,
      authority: { cert: authority.cert, fingerprint: fingerprintOf(authority.cert) },
    };
  } catch (cause) {
    throw new Error(
      `Certificates cannot be kept in ${folder} (${errorCode(cause)}): give that folder back to its user.`,
    );
  }
}

/** A certificate that the user has. Rejects with one sentence where it cannot be read or is of no use. */
export async function givenCertificate(
  certFile: string,
  keyFile: string,
  nowMs: number,
): Promise<Certificate> {
  const [cert, key] = await Promise.all([certFile, keyFile].map(readText));
  if (cert === undefined || key === undefined) throw new Error('There is no certificate.');
  let parsed: X509Certificate;
  try {
    parsed = new X509Certificate(cert);
  } catch {
    throw new Error(`${certFile} is no certificate in PEM form.`);
  }
  let fits: boolean;
  try {
    fits = parsed.checkPrivateKey(createPrivateKey(key));
  } catch {
    throw new Error(`${keyFile} is no private key in PEM form, or has a password.`);
  }
  if (!fits) throw new Error(`The key ${keyFile} does not belong to the certificate ${certFile}.`);
  if (Date.parse(parsed.validTo) <= nowMs)
    throw new Error(`The certificate ${certFile} has ended on ${parsed.validTo}: get a new one.`);
  return { cert, key, authority: null };
}

function readText(path: string): Promise<string> {
  return readFile(path, 'utf8').catch((cause: unknown) => {
    throw new Error(`${path} cannot be read (${errorCode(cause)}).`);
  });
}

async function readPair(folder: string, name: string): Promise<Pair | null> {
  try {
    const [cert, key] = await Promise.all([
      readFile(join(folder, `${name}.crt`), 'utf8'),
      readFile(join(folder, `${name}.key`), 'utf8'),
    ]);
    return new X509Certificate(cert).checkPrivateKey(createPrivateKey(key)) ? { cert, key } : null;
  } catch {
    return null;
  }
}

/** The key first, so that a certificate never stands beside another's key for long. */
async function writePair(folder: string, name: string, pair: Pair): Promise<Pair> {
  for (const [end, text] of [
    ['key', pair.key],
    ['crt', pair.cert],
  ] as const) {
    const path = join(folder, `${name}.${end}`);
    await writeFile(`${path}.new`, text, { mode: 0o600 });
    await rename(`${path}.new`, path);
  }
  return pair;
}

function lastsUntil({ cert }: Pair, ms: number): boolean {
  return Date.parse(new X509Certificate(cert).validTo) > ms;
}

/** Of this authority, for all these names, and not soon at its end. Names that are not used any more do no harm. */
function isStillGood(server: Pair, authority: Pair, names: readonly string[], nowMs: number): boolean {
  const cert = new X509Certificate(server.cert);
  return (
    lastsUntil(server, nowMs + RENEWED_BEFORE_MS) &&
    Date.parse(cert.validFrom) <= nowMs &&
    cert.verify(new X509Certificate(authority.cert).publicKey) &&
    names.every((name) => (isIP(name) === 0 ? cert.checkHost(name) : cert.checkIP(name)) !== undefined)
  );
}
