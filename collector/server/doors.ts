/**
 * Who may come in. A request must name this machine as its host (else a foreign site could reach the collector through
 * a name of its own that points here), must come from the collector's own page where it could change or listen to
 * something, and in the open network must carry the pairing key.
 */
import { createHash, timingSafeEqual } from 'node:crypto';
import type { IncomingHttpHeaders } from 'node:http';
import type { PlainSentence } from './plain-page.ts';

export interface House {
  port: number;
  /** Names of this machine, in lower case. */
  names: ReadonlySet<string>;
  /** Reached from the network: every request carries the key then, also one from this machine, since any program may forward to it. */
  lan: boolean;
  pairingKey: string;
  /** Reached over HTTPS. */
  secure: boolean;
}

export interface Refusal {
  status: 403 | 404 | 503;
  text: PlainSentence;
}

const KEY_COOKIE = 'spyhole-key';
/**
 * Over HTTPS it has a name of its own: what HTTP sets can then never take its place (RFC 6265bis, section 4.1.3.2), and a
 * phone that uses both stays paired with both, since a cookie knows no port.
 */
const SECURE_KEY_COOKIE = '__Host-spyhole-key';

export function keyCookie({ secure }: House): string {
  return secure ? SECURE_KEY_COOKIE : KEY_COOKIE;
}

const HOST = /^(\[[0-9a-f:.]+\]|[a-z0-9._-]+?)\.?(?::(\d{1,5}))?$/i;
/** Ports that a browser leaves out. */
const HTTP_PORT = 80;
const HTTPS_PORT = 443;

const WRONG_HOST: Refusal = {
  status: 403,
  text: 'The collector is not known by this address: open the link that it prints.',
};
const NO_KEY: Refusal = { status: 403, text: 'Scan the code that the collector prints.' };
const FOREIGN: Refusal = {
  status: 403,
  text: 'Only the page that the collector serves may do this: open the link that it prints.',
};

/** Why a request may not come in, or null. `ownPageOnly`: it could change or listen to something. */
export function refusalOf(headers: IncomingHttpHeaders, house: House, ownPageOnly: boolean): Refusal | null {
  if (!isOwnHost(headers.host, house)) return WRONG_HOST;
  const byTool = isKey(bearerKey(headers), house.pairingKey);
  if (house.lan && !byTool && !isKey(cookieKey(headers, keyCookie(house)), house.pairingKey)) return NO_KEY;
  // Browsers always say where a socket is opened from; a program that says nothing shows the key instead.
  const own =
    headers.origin === undefined ? byTool : isSameOrigin(headers.origin, headers.host, house.secure);
  return ownPageOnly && !own ? FOREIGN : null;
}

/** Whether a Host header names this machine and the port that is listened on. */
export function isOwnHost(
  host: string | undefined,
  { port, names, secure }: Pick<House, 'port' | 'names' | 'secure'>,
): boolean {
  const match = HOST.exec(host ?? '');
  const name = match?.[1]?.toLowerCase();
  return (
    name !== undefined && names.has(name) && Number(match?.[2] ?? (secure ? HTTPS_PORT : HTTP_PORT)) === port
  );
}

/** Whether an Origin header is that of a page which this very host served. */
function isSameOrigin(origin: string | undefined, host: string | undefined, secure: boolean): boolean {
  if (origin === undefined || host === undefined) return false;
  try {
    return new URL(origin).origin === new URL(`${secure ? 'https' : 'http'}://${host}`).origin;
  } catch {
    return false;
  }
}

/** Whether `given` is the pairing key; it takes the same time whatever it is. */
export function isKey(given: string | null, pairingKey: string): boolean {
  const digest = (text: string) => createHash('sha256').update(text).digest();
  return timingSafeEqual(digest(given ?? ''), digest(pairingKey)) && given !== null;
}

/** The key in `Authorization: Bearer`: a tool's way, since no foreign page can make a browser send it. */
function bearerKey(headers: IncomingHttpHeaders): string | null {
  return /^Bearer +(\S+)$/i.exec(headers.authorization ?? '')?.[1] ?? null;
}

/** The key that was set as a cookie when the scanned link was opened. */
function cookieKey(headers: IncomingHttpHeaders, cookie: string): string | null {
  for (const pair of (headers.cookie ?? '').split(';')) {
    const [name, value] = pair.trim().split('=', 2);
    if (name === cookie && value !== undefined) return value;
  }
  return null;
}
