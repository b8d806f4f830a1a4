/** The radio's library: loaded out of a folder, missing, broken, and played by a stand-in with the same shape. */
import { EventEmitter } from 'node:events';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { bleTarget } from '../../collector/commands/ble-settings.ts';
import { setUpBluetooth } from '../../collector/commands/setup-bluetooth.ts';
import { piecesOf, sameUuid, uuidOf, writeBytesOf } from '../../collector/links/gatt.ts';
import { loadGatt, nobleGatt } from '../../collector/links/gatt-noble.ts';
import { TARGET } from './fake-gatt.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'spyhole-bluetooth-'));
});
afterEach(() => {
  rmSync(folder, { recursive: true, force: true });
  vi.unstubAllEnvs();
});

function putLibrary(code: string): void {
  const place = join(folder, 'node_modules', '@stoprocent', 'noble');
  mkdirSync(place, { recursive: true });
  writeFileSync(join(place, 'package.json'), '{ "name": "@stoprocent/noble", "main": "index.js" }');
  writeFileSync(join(place, 'index.js'), code);
}

const signal = () => new AbortController().signal;
const nobody = { data: () => undefined, gone: () => undefined };

describe('the library', () => {
  it('is asked for in one sentence where it is not there', () => {
    expect(() => loadGatt(folder)).toThrow(
      /^Bluetooth low energy needs a library that is not there: run 'npm start -- setup-bluetooth' once, and start again\.$/,
    );
  });

  it('says in one sentence that it cannot be loaded', () => {
    putLibrary("throw new Error('wrong machine\\nstack and all');");
    expect(() => loadGatt(folder)).toThrow(
      /^The Bluetooth library cannot be loaded \(wrong machine\): run 'npm start -- setup-bluetooth' again\.$/,
    );
  });

  it('is taken for a radio without adapter where the system has no Bluetooth service', async () => {
    vi.stubEnv('NOBLE_BINDINGS', 'dbus');
    vi.stubEnv('DBUS_SYSTEM_BUS_ADDRESS', `unix:path=${join(folder, 'no-bus')}`);
    putLibrary('module.exports = {};');
    const gatt = loadGatt(folder, 'linux');
    expect(await gatt.connect(TARGET, nobody, signal())).toMatchObject({ ok: false, why: 'no-adapter' });
  });

  it('is installed by its own command alone, pinned, and tried at once', async () => {
    const runs: string[][] = [];
    await expect(
      setUpBluetooth(folder, async (args, where) => {
        runs.push(args);
        expect(where).toBe(folder);
        putLibrary('module.exports = {};');
        return 0;
      }),
    ).resolves.toBeUndefined();
    expect(runs[0]?.[0]).toBe('install');
    expect(runs[0]).toContain('--ignore-scripts');
    expect(runs[0]?.filter((arg) => /@\d+\.\d+\.\d+$/.test(arg))).toHaveLength(2);
    await expect(setUpBluetooth(folder, async () => 1)).rejects.toThrow(/could not be fetched/);
  });
});

/** A stand-in with the shape of the library: a board that offers the target's service. */
function standIn(
  part: { state?: string; name?: string; services?: string[]; chars?: string[]; properties?: string[] } = {},
) {
  const { state = 'poweredOn', name = 'shed-1', properties = ['write'] } = part;
  const characteristic = (uuid: string) =>
    Object.assign(new EventEmitter(), {
      uuid,
      properties,
      written: [] as { text: string; withoutAnswer: boolean }[],
      subscribed: false,
      async subscribeAsync() {
        this.subscribed = true;
      },
      async writeAsync(bytes: Buffer, withoutAnswer: boolean) {
        this.written.push({ text: bytes.toString('latin1'), withoutAnswer });
      },
    });
  const chars = (part.chars ?? [TARGET.notify, TARGET.write]).map(characteristic);
  const peripheral = Object.assign(new EventEmitter(), {
    id: 'a1b2c3d4e5f6',
    address: 'A1:B2:C3:D4:E5:F6',
    advertisement: { localName: name },
    mtu: null as number | null,
    connected: false,
    async connectAsync() {
      this.connected = true;
    },
    async disconnectAsync() {
      this.connected = false;
    },
    async discoverServicesAsync() {
      return (part.services ?? [TARGET.service]).map((uuid) => ({
        uuid,
        discoverCharacteristicsAsync: async () => chars,
      }));
    },
  });
  const library = Object.assign(new EventEmitter(), {
    state,
    scans: 0,
    async startScanningAsync() {
      this.scans += 1;
      const events: EventEmitter = library;
      setImmediate(() => {
        events.emit('discover', { id: 'other', advertisement: { localName: 'kettle' } });
        events.emit('discover', 'nonsense');
        events.emit('discover', peripheral);
      });
    },
    async stopScanningAsync() {
      this.scans -= 1;
    },
  });
  return { library, peripheral, chars };
}

describe('a board by way of the library', () => {
  it('is found by its name or its address, connected and subscribed; bytes go both ways', async () => {
    for (const device of ['shed-1', 'a1:b2:c3:d4:e5:f6', 'A1-B2-C3-D4-E5-F6']) {
      const { library, peripheral, chars } = standIn();
      const heard: string[] = [];
      let goneTimes = 0;
      const answer = await nobleGatt(library, true).connect(
        { ...TARGET, device },
        {
          data: (bytes) => heard.push(Buffer.from(bytes).toString()),
          gone: () => {
            goneTimes += 1;
          },
        },
        signal(),
      );
      if (!answer.ok) throw new Error(answer.detail);
      const { connection } = answer;
      expect(library.scans).toBe(0);
      expect(chars[0]).toMatchObject({ subscribed: true });
      chars[0]?.emit('data', Buffer.from('$?*264C\n'), true);
      expect(heard).toEqual(['$?*264C\n']);
      await connection.write(Buffer.from('$L,2*F1CA\n'));
      expect(chars[1]?.written).toEqual([{ text: '$L,2*F1CA\n', withoutAnswer: false }]);
      expect(connection.writeBytes()).toBe(20);
      peripheral.mtu = 185;
      expect(connection.writeBytes()).toBe(182);
      peripheral.emit('disconnect', 8);
      peripheral.emit('disconnect', 8);
      chars[0]?.emit('data', Buffer.from('late'), true);
      expect({ goneTimes, open: connection.isOpen(), heard: heard.length }).toEqual({
        goneTimes: 1,
        open: false,
        heard: 1,
      });
    }
  });

  it('writes without an answer where the board gives none', async () => {
    const { library, chars } = standIn({ properties: ['writeWithoutResponse'] });
    const answer = await nobleGatt(library, true).connect(TARGET, nobody, signal());
    if (answer.ok) await answer.connection.write(Buffer.from('x'));
    expect(chars[1]?.written).toEqual([{ text: 'x', withoutAnswer: true }]);
  });

  it.each([
    ['no-service', { services: ['180f'] }],
    ['no-notify', { chars: [TARGET.write] }],
    ['no-write', { chars: [TARGET.notify] }],
  ])('says %s, and lets go of the board', async (why, part) => {
    const { library, peripheral } = standIn(part);
    expect(await nobleGatt(library, true).connect(TARGET, nobody, signal())).toMatchObject({
      ok: false,
      why,
    });
    expect(peripheral.connected).toBe(false);
  });

  it.each([
    ['poweredOff', 'switched-off'],
    ['unauthorized', 'forbidden'],
    ['unsupported', 'no-adapter'],
  ])('says of an adapter that is %s: %s', async (state, why) => {
    const stop = new AbortController();
    const { library } = standIn({ state });
    const asking = nobleGatt(library, true).connect(TARGET, nobody, stop.signal);
    stop.abort();
    expect(await asking).toMatchObject({ ok: false, why });
  });

  it('takes an adapter that is switched on after a moment', async () => {
    const { library } = standIn({ state: 'unknown' });
    const asking = nobleGatt(library, true).connect(TARGET, nobody, signal());
    library.state = 'poweredOff';
    library.emit('stateChange', 'poweredOff');
    library.state = 'poweredOn';
    library.emit('stateChange', 'poweredOn');
    expect(await asking).toMatchObject({ ok: true });
  });

  it.each<[string, Error, string]>([
    ['rights', new Error('org.freedesktop.DBus.Error.AccessDenied'), 'forbidden'],
    ['an adapter that is off', new Error('org.bluez.Error.NotReady'), 'switched-off'],
    ['the air', new Error('le-connection-abort-by-local'), 'failed'],
  ])('tells trouble with %s by its words, and lets go', async (_what, error, why) => {
    const { library, peripheral } = standIn();
    peripheral.connectAsync = async () => {
      throw error;
    };
    expect(await nobleGatt(library, true).connect(TARGET, nobody, signal())).toMatchObject({
      ok: false,
      why,
    });
  });

  it('survives a library of another shape, and its errors that nobody hears', async () => {
    expect(await nobleGatt({}, true).connect(TARGET, nobody, signal())).toMatchObject({
      ok: false,
      why: 'failed',
    });
    const { library } = standIn();
    await nobleGatt(library, true).connect(TARGET, nobody, signal());
    expect(() => library.emit('error', new Error('the bus is gone'))).not.toThrow();
  });

  it('is let go when nobody wants it any more, whatever it makes of that', () => {
    let stops = 0;
    const { library } = standIn();
    nobleGatt(Object.assign(library, { stop: () => (stops += 1) }), true).rest();
    expect(stops).toBe(1);
    const refuses = () => {
      throw new Error('never begun');
    };
    expect(() => nobleGatt({ stop: refuses }, true).rest()).not.toThrow();
    expect(() => nobleGatt({}, true).rest()).not.toThrow();
  });

  it('is given up when nobody waits any more', async () => {
    const { library } = standIn({ name: 'another' });
    const stop = new AbortController();
    const asking = nobleGatt(library, true).connect(TARGET, nobody, stop.signal);
    setTimeout(() => stop.abort(), 10);
    expect(await asking).toMatchObject({ ok: false, why: 'not-heard' });
    expect(library.scans).toBe(0);
  });

  it('is let go of where nobody waits any more by the time it is connected, and holds nothing of the board', async () => {
    const { library, peripheral, chars } = standIn();
    const stop = new AbortController();
    const { connectAsync } = peripheral;
    peripheral.connectAsync = async () => {
      await connectAsync.call(peripheral);
      stop.abort();
    };
    expect(await nobleGatt(library, true).connect(TARGET, nobody, stop.signal)).toMatchObject({ ok: false });
    expect(peripheral.connected).toBe(false);
    expect(chars[0]).toMatchObject({ subscribed: false });
    expect(peripheral.listenerCount('disconnect')).toBe(0);
  });
});

describe('UUIDs and pieces', () => {
  it('takes UUIDs with hyphens or without, long or of 16 bits (Bluetooth Core Specification, Vol 3, Part B)', () => {
    expect(uuidOf('0000AB01-0000-1000-8000-00805F9B34FB')).toBe('0000ab0100001000800000805f9b34fb');
    expect(uuidOf('AB01')).toBe('ab01');
    for (const text of ['', 'ab0', 'xyz1', 'ab01ab01']) expect(uuidOf(text)).toBeNull();
    expect(sameUuid('ab01', '0000ab01-0000-1000-8000-00805f9b34fb')).toBe(true);
    expect(sameUuid('ab01', 'ab02')).toBe(false);
  });

  it('writes 20 bytes at the smallest MTU of 23 (Bluetooth Core Specification, Vol 3, Part F)', () => {
    expect([null, 23, 185].map(writeBytesOf)).toEqual([20, 20, 182]);
    const pieces = [...piecesOf(new Uint8Array(45), 20)].map(({ length }) => length);
    expect(pieces).toEqual([20, 20, 5]);
  });
});

describe('where the board is', () => {
  const all = { ble: 'shed-1', bleService: 'AB00', bleNotify: 'ab01', bleWrite: 'ab02' };
  const put = (text: string) => {
    const path = join(folder, 'bluetooth.json');
    writeFileSync(path, text);
    return path;
  };

  it('is told on the command line, or in the settings, or some here and some there', async () => {
    const target = { device: 'shed-1', service: 'ab00', notify: 'ab01', write: 'ab02' };
    expect(await bleTarget(all, join(folder, 'none.json'))).toEqual(target);
    const path = put(JSON.stringify({ device: 'shed-2', service: 'ab00', notify: 'ab01', write: 'AB02' }));
    expect(await bleTarget({ ble: true }, path)).toEqual({ ...target, device: 'shed-2' });
    expect(await bleTarget({ ble: 'shed-1' }, path)).toEqual(target);
  });

  it.each<[string, Record<string, string | true>, string | null, RegExp]>([
    [
      'nothing but a name',
      { ble: 'shed-1' },
      null,
      /--ble-service, --ble-notify, --ble-write .*bluetooth\.json/,
    ],
    ['no UUID', { ...all, bleNotify: 'tx' }, null, /^--ble-notify is no UUID/],
    ['settings that are no JSON', all, 'shed-1', /is no JSON/],
    ['settings with a wrong UUID', all, '{ "write": "rx" }', /bluetooth\.json: write: is no UUID/],
  ])('says in one sentence what is wrong: %s', async (_what, options, text, words) => {
    const path = text === null ? join(folder, 'bluetooth.json') : put(text);
    await expect(bleTarget(options, path)).rejects.toThrow(words);
  });
});
