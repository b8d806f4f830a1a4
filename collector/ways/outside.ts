/** Which addresses a phone may name as its push service: one out in the internet, and none in this house or network. */
import { type LookupAddress, lookup } from 'node:dns';
import { BlockList, isIP, type LookupFunction } from 'node:net';

/** Own, private and link-local addresses and the like: RFC 6890. */
const INSIDE = new BlockList();
for (const [net, prefix] of [
  ['0.0.0.0', 8],
  ['10.0.0.0', 8],
  ['100.64.0.0', 10],
  ['127.0.0.0', 8],
  ['169.254.0.0', 16],
  ['172.16.0.0', 12],
  ['192.0.0.0', 24],
  ['192.168.0.0', 16],
  ['198.18.0.0', 15],
  ['224.0.0.0', 3],
] as const)
  INSIDE.addSubnet(net, prefix, 'ipv4');
for (const [net, prefix] of [
  ['::', 128],
  ['::1', 128],
  ['64:ff9b::', 96],
  ['fc00::', 7],
  ['fe80::', 10],
  ['ff00::', 8],
] as const)
  INSIDE.addSubnet(net, prefix, 'ipv6');

/** Also an IPv4 address that is written as one of IPv6 (RFC 4291, section 2.5.5.2). */
export function isInside(address: string): boolean {
  const mapped = /^::ffff:(\d+\.\d+\.\d+\.\d+)$/i.exec(address)?.[1];
  const plain = mapped ?? address;
  const family = isIP(plain);
  return family === 0 || INSIDE.check(plain, family === 6 ? 'ipv6' : 'ipv4');
}

/** Why this endpoint is not called, or null. A name is looked at again when it is looked up. */
export function endpointTrouble(endpoint: string): string | null {
  const { protocol, hostname, username } = new URL(endpoint);
  if (protocol !== 'https:') return 'A push service is only called over HTTPS.';
  if (username !== '') return 'An address with a name and password in it is no push service.';
  const host = hostname.replace(/^\[|\]$/g, '');
  const named = isIP(host) === 0;
  if (named ? !host.includes('.') || /\.(local|internal|home|lan|localhost)\.?$/i.test(host) : isInside(host))
    return 'A push service lies in the internet, not in this network.';
  return null;
}

/** A look-up that gives no address inside, so that no name leads there. */
export const lookupOutside: LookupFunction = (host, options, done) => {
  lookup(host, { ...options, all: true }, (error, addresses: LookupAddress[]) => {
    const outside = error ? [] : addresses.filter(({ address }) => !isInside(address));
    const [first] = outside;
    if (error || !first) {
      const none: NodeJS.ErrnoException = error ?? Object.assign(new Error('inside'), { code: 'ENOTFOUND' });
      done(none, '', 0);
    } else if (options.all) {
      done(null, outside);
    } else {
      done(null, first.address, first.family);
    }
  });
};
