/**
 * What the local authority may vouch for at all: names of the home network and private addresses. A stolen key of it
 * opens no bank. RFC 5280, section 4.2.1.10; the bytes by DER (ITU-T X.690).
 */
import { isIPv6 } from 'node:net';

/** id-ce-nameConstraints */
export const NAME_CONSTRAINTS = '2.5.29.30';

/** Names that no registry gives out: RFC 6762, RFC 6761, RFC 8375; `lan`, `home` and `internal` are common practice, no source. */
export const HOME_DOMAINS = ['local', 'localhost', 'home.arpa', 'lan', 'home', 'internal'] as const;

/** Private, shared, link-local and loop-back: RFC 1918, RFC 6598, RFC 3927, RFC 1122, RFC 4193, RFC 4291. */
const HOME_NETS: readonly [string, number][] = [
  ['10.0.0.0', 8],
  ['172.16.0.0', 12],
  ['192.168.0.0', 16],
  ['100.64.0.0', 10],
  ['169.254.0.0', 16],
  ['127.0.0.0', 8],
  ['fc00::', 7],
  ['fe80::', 10],
  ['::1', 128],
];

const SEQUENCE = 0x30;
/** Tags of context: permittedSubtrees [0]; dNSName [2] and iPAddress [7] of GeneralName. */
const PERMITTED = 0xa0;
const DNS_NAME = 0x82;
const IP_ADDRESS = 0x87;

function der(tag: number, ...parts: Uint8Array[]): Buffer {
  const body = Buffer.concat(parts);
  const size =
    body.length < 128
      ? [body.length]
      : body.length < 256
        ? [0x81, body.length]
        : [0x82, body.length >> 8, body.length & 0xff];
  return Buffer.concat([Buffer.from([tag, ...size]), body]);
}

/** 4 or 16 bytes, in the order of the network. */
export function addressBytes(address: string): Buffer {
  if (!isIPv6(address)) return Buffer.from(address.split('.').map(Number));
  const [head = '', tail = ''] = address.split('::');
  const words = (part: string) =>
    part === '' ? [] : part.split(':').map((word) => Number.parseInt(word, 16));
  const [first, last] = [words(head), words(tail)];
  const all = [...first, ...Array(8 - first.length - last.length).fill(0), ...last];
  return Buffer.from(all.flatMap((word) => [word >> 8, word & 0xff]));
}

function maskBytes(prefix: number, length: number): Buffer {
  return Buffer.from(
    Array.from({ length }, (_, i) => (0xff00 >> Math.min(8, Math.max(0, prefix - 8 * i))) & 0xff),
  );
}

/** The extension's value. `names`: this machine's own, beside those of home networks. */
export function homeConstraints(names: readonly string[]): Buffer {
  const domains = [...new Set([...HOME_DOMAINS, ...names])];
  const subtrees = [
    ...domains.map((domain) => der(DNS_NAME, Buffer.from(domain, 'latin1'))),
    ...HOME_NETS.map(([net, prefix]) => {
      const bytes = addressBytes(net);
      return der(IP_ADDRESS, bytes, maskBytes(prefix, bytes.length));
    }),
  ].map((base) => der(SEQUENCE, base));
  return der(SEQUENCE, der(PERMITTED, ...subtrees));
}

/** Whether the authority could vouch for it. */
export function isHomeName(name: string, own: readonly string[]): boolean {
  return [...HOME_DOMAINS, ...own].some((domain) => name === domain || name.endsWith(`.${domain}`));
}

export function isHomeAddress(address: string): boolean {
  const bytes = addressBytes(address);
  return HOME_NETS.some(([net, prefix]) => {
    const base = addressBytes(net);
    if (base.length !== bytes.length) return false;
    const mask = maskBytes(prefix, base.length);
    return base.every((byte, i) => (byte & (mask[i] ?? 0)) === ((bytes[i] ?? 0) & (mask[i] ?? 0)));
  });
}
