/** The serial ports of this computer, with what each seems to be, for `spyhole ports`. */
import { readdir, readFile } from 'node:fs/promises';
import { basename } from 'node:path';
import { SerialPort } from 'serialport';
import { stableNames } from './stable-name.ts';

/** What the system says of a port. Only the path is sure. */
export interface SystemPort {
  path: string;
  vendorId?: string | undefined;
  serialNumber?: string | undefined;
  /** On Windows it says on which bus the port is. */
  pnpId?: string | undefined;
}

export interface FoundPort {
  path: string;
  /** In plain words. */
  seems: string;
  /** Where a logger board is likely. */
  likely: boolean;
  serialNumber: string | null;
  /** The name that stays with the board whatever socket it is plugged in at. */
  byId: string | null;
}

/** USB-IF vendor numbers, from memory: makers of chips between USB and a serial line, and of boards that speak USB. */
const ADAPTER_VENDORS = new Set(['0403', '067b', '10c4', '1a86', '04d8', '0557']);
const BOARD_VENDORS = new Set(['0483', '1209', '16c0', '1b4f', '2341', '239a', '2a03', '2e8a', '303a']);

/** What a port seems to be, from its vendor number, its bus and its path, in this order. */
export function seemsToBe({ path, vendorId, pnpId }: SystemPort): { seems: string; likely: boolean } {
  const vendor = vendorId?.toLowerCase() ?? '';
  if (BOARD_VENDORS.has(vendor)) return { seems: 'board with native USB', likely: true };
  if (ADAPTER_VENDORS.has(vendor)) return { seems: 'USB serial adapter', likely: true };
  if (/rfcomm|bluetooth/i.test(path) || /^BTHENUM/i.test(pnpId ?? ''))
    return { seems: 'Bluetooth serial', likely: true };
  if (/ttyACM|usbmodem/i.test(path)) return { seems: 'board with native USB', likely: true };
  if (vendor !== '' || /ttyUSB|usbserial/i.test(path)) return { seems: 'USB serial adapter', likely: true };
  return { seems: 'built-in serial port (seldom a logger board)', likely: false };
}

const SERIAL_DEVICE = /^(tty(ACM|USB|AMA)\d+|rfcomm\d+|cu\..+)$/;

/** Linux lists built-in ports that the computer does not have: their UART is of type 0. */
async function isThere({ path }: SystemPort): Promise<boolean> {
  if (!/^\/dev\/ttyS\d+$/.test(path)) return true;
  const type = await readFile(`/sys/class/tty/${basename(path)}/type`, 'utf8').catch(() => '');
  return type.trim() !== '0';
}

/** Where the system has no udev to ask, the names under /dev have to do. */
async function listDevices(): Promise<SystemPort[]> {
  const names = await readdir('/dev').catch(() => []);
  return names.filter((name) => SERIAL_DEVICE.test(name)).map((name) => ({ path: `/dev/${name}` }));
}

/** The serial ports, likely boards first. Never rejects: what cannot be listed is not there. */
export async function listPorts(list: () => Promise<SystemPort[]> = SerialPort.list): Promise<FoundPort[]> {
  const [ports, names] = await Promise.all([list().catch(listDevices), stableNames()]);
  const there = await Promise.all(ports.map(isThere));
  return ports
    .filter((_, index) => there[index])
    .map((port) => ({
      path: port.path,
      ...seemsToBe(port),
      serialNumber: port.serialNumber ?? null,
      byId: names.get(port.path) ?? null,
    }))
    .sort(
      (a, b) => Number(b.likely) - Number(a.likely) || a.path.localeCompare(b.path, 'en', { numeric: true }),
    );
}

const NO_BOARD =
  'A board that is plugged in and not shown: try another cable (many carry power only) and another socket.';

/** The table that `spyhole ports` prints: a port a line, then what to do. */
export function portsTable(ports: FoundPort[]): string {
  if (ports.length === 0) return `There is no serial port on this computer.\n${NO_BOARD}\n`;
  const rows = ports.map(({ path, seems, serialNumber, byId }) => [
    byId ?? path,
    byId === null ? '' : `now ${path}`,
    seems,
    serialNumber === null ? '' : `serial number ${serialNumber}`,
  ]);
  const widths = [0, 1, 2, 3].map((column) => Math.max(...rows.map((row) => row[column]?.length ?? 0)));
  const lines = rows.map((row) =>
    row
      .map((cell, column) => (widths[column] === 0 ? '' : cell.padEnd((widths[column] ?? 0) + 2)))
      .join('')
      .trimEnd(),
  );
  if (!ports.some(({ likely }) => likely))
    lines.push(`None of these seems to be a logger board. ${NO_BOARD}`);
  return `${lines.join('\n')}\n`;
}
