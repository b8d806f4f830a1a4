import { describe, expect, it } from 'vitest';
import {
  type FoundPort,
  listPorts,
  portsTable,
  type SystemPort,
  seemsToBe,
} from '../../collector/links/ports.ts';

describe('what a port seems to be', () => {
  // Vendor numbers as the USB-IF gave them out, from memory.
  it.each<[SystemPort, string, boolean]>([
    [{ path: '/dev/ttyUSB0', vendorId: '0403' }, 'USB serial adapter', true],
    [{ path: '/dev/ttyACM0', vendorId: '1A86' }, 'USB serial adapter', true],
    [{ path: '/dev/ttyACM0', vendorId: '2e8a' }, 'board with native USB', true],
    [{ path: '/dev/ttyACM1', vendorId: 'ffff' }, 'board with native USB', true],
    [{ path: '/dev/ttyUSB1', vendorId: 'ffff' }, 'USB serial adapter', true],
    [{ path: '/dev/ttyUSB2' }, 'USB serial adapter', true],
    [{ path: '/dev/cu.usbmodem14201' }, 'board with native USB', true],
    [{ path: '/dev/rfcomm0' }, 'Bluetooth serial', true],
    [{ path: '/dev/tty.Bluetooth-Incoming-Port' }, 'Bluetooth serial', true],
    [{ path: 'COM5', pnpId: 'BTHENUM\\{00001101}\\8&2' }, 'Bluetooth serial', true],
    [{ path: 'COM4', vendorId: '10C4', pnpId: 'USB\\VID_10C4' }, 'USB serial adapter', true],
    [{ path: 'COM1', pnpId: 'ACPI\\PNP0501\\1' }, 'built-in serial port (seldom a logger board)', false],
    [{ path: '/dev/ttyS0' }, 'built-in serial port (seldom a logger board)', false],
  ])('%o', (port, seems, likely) => {
    expect(seemsToBe(port)).toEqual({ seems, likely });
  });
});

describe('the list of ports', () => {
  it('puts the likely ones first, in the order of their numbers', async () => {
    const ports = await listPorts(async () =>
      ['COM1', 'COM10', 'COM9'].map((path) => ({ path, ...(path === 'COM1' ? {} : { vendorId: '0403' }) })),
    );
    expect(ports.map(({ path }) => path)).toEqual(['COM9', 'COM10', 'COM1']);
  });

  it('comes from the names of devices where the system cannot list its ports', async () => {
    const ports = await listPorts(() => Promise.reject(new Error('spawn udevadm ENOENT')));
    for (const { path } of ports) expect(path).toMatch(/^\/dev\//);
    expect(ports).toEqual(await listPorts(() => Promise.reject(new Error('again'))));
  });

  it('can be asked of this system', async () => {
    expect(portsTable(await listPorts()).length).toBeGreaterThan(0);
  });
});

describe('the table of ports', () => {
  const adapter: FoundPort = {
    path: '/dev/ttyUSB0',
    seems: 'USB serial adapter',
    likely: true,
    serialNumber: 'A7',
    byId: '/dev/serial/by-id/usb-Shed_logger_A7-if00',
  };
  const builtIn: FoundPort = {
    path: '/dev/ttyS0',
    seems: 'built-in serial port (seldom a logger board)',
    likely: false,
    serialNumber: null,
    byId: null,
  };

  it('shows the lasting name first, and the port of today beside it', () => {
    expect(portsTable([adapter, builtIn])).toBe(
      [
        '/dev/serial/by-id/usb-Shed_logger_A7-if00  now /dev/ttyUSB0  USB serial adapter                            serial number A7',
        '/dev/ttyS0                                                   built-in serial port (seldom a logger board)',
        '',
      ].join('\n'),
    );
  });

  it('says what to try when no port seems to be a board', () => {
    expect(portsTable([builtIn])).toBe(
      '/dev/ttyS0  built-in serial port (seldom a logger board)\nNone of these seems to be a logger board. A board that is plugged in and not shown: try another cable (many carry power only) and another socket.\n',
    );
  });

  it('says clearly that there is none', () => {
    expect(portsTable([])).toMatch(/^There is no serial port on this computer\.\nA board that is plugged in/);
  });
});
