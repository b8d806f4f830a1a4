/** Where this machine is reached: its names and addresses, and the link as a code that a phone can scan. */
import { hostname, networkInterfaces } from 'node:os';
import { toString as qrToString } from 'qrcode';

const LOOPBACK = ['localhost', '127.0.0.1', '[::1]'];
/** Interfaces of virtual machines and containers: no phone is in their network. */
const VIRTUAL = /^(docker|veth|br-|virbr|vmnet|vboxnet|vEthernet|utun|tun|tap)/i;

/** None where the system does not tell them (some phones do not let a program ask). */
function interfacesThere(): ReturnType<typeof networkInterfaces> {
  try {
    return networkInterfaces();
  } catch {
    return {};
  }
}

/** IPv4 addresses under which a phone in the same network reaches this machine, the likeliest first. */
export function lanAddresses(interfaces = interfacesThere()): string[] {
  const found = Object.entries(interfaces).flatMap(([name, addresses]) =>
    (addresses ?? [])
      .filter(
        ({ family, internal, address }) => family === 'IPv4' && !internal && !address.startsWith('169.254.'),
      )
      .map(({ address }) => ({ address, virtual: VIRTUAL.test(name) })),
  );
  return found.sort((a, b) => Number(a.virtual) - Number(b.virtual)).map(({ address }) => address);
}

/** Every name that a request to this machine may carry as its host, in lower case, without the port. */
export function ownHostNames(): Set<string> {
  const addresses = Object.values(interfacesThere()).flatMap((list) => list ?? []);
  const name = hostname().toLowerCase();
  const [short = name] = name.split('.');
  return new Set([
    ...LOOPBACK,
    ...addresses.map(({ family, address }) => (family === 'IPv6' ? `[${address.toLowerCase()}]` : address)),
    name,
    short,
    `${short}.local`,
  ]);
}

/**
 * The link as a QR code (ISO/IEC 18004) in half blocks. `colour`: with terminal colours that make it dark on light
 * whatever the terminal's own are; without them it is drawn for a dark terminal.
 */
export async function qrText(url: string, colour = false): Promise<string> {
  const options = { type: 'utf8', errorCorrectionLevel: 'L', margin: 2 } as const;
  if (!colour) return qrToString(url, { ...options, color: { dark: '#ffffff', light: '#000000' } });
  const lines = (await qrToString(url, options)).split('\n');
  return lines.map((line) => `\u001b[30;107m${line}\u001b[0m`).join('\n');
}
