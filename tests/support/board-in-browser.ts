/** A browser's Web Serial and Web Bluetooth for tests, whose only board is at the other end of a cable of the tests. */
import type { Page } from 'playwright-core';
import { SerialPort } from 'serialport';
import type { Pty } from './pty.ts';

/** What the page of the tests calls, and what is called in it. */
interface Hooks {
  openCable(): Promise<void>;
  closeCable(): Promise<void>;
  toCable(text: string): Promise<void>;
  fromCable?(text: string): void;
  cableOut?(): void;
}

/** The cable's end as a page of the tests reaches it. The answer lets go of it. */
async function withCable(page: Page, cable: Pty): Promise<() => Promise<void>> {
  let port: SerialPort | null = null;
  const close = async () => {
    const closing = port;
    port = null;
    if (closing?.isOpen) await new Promise<void>((resolve) => closing.close(() => resolve()));
  };
  const tell = (hook: 'fromCable' | 'cableOut', text = '') =>
    page
      .evaluate(([name, said]) => (window as unknown as Hooks)[name]?.(said), [hook, text] as const)
      .catch(() => undefined);
  await page.exposeFunction('openCable', async () => {
    // A browser shuts the ports of a page that is loaded anew.
    await close();
    const opening = new SerialPort({ path: cable.collectorEnd, baudRate: 115_200, autoOpen: false });
    await new Promise<void>((resolve, reject) =>
      opening.open((error) => (error ? reject(error) : resolve())),
    );
    port = opening;
    const out = () => {
      if (port === opening) void tell('cableOut');
    };
    opening.on('data', (bytes: Buffer) => void tell('fromCable', bytes.toString('latin1')));
    opening.on('error', out);
    opening.on('close', out);
  });
  await page.exposeFunction('closeCable', close);
  await page.exposeFunction('toCable', async (text: string) => {
    if (port?.isOpen) port.write(text, 'latin1');
  });
  return close;
}

/** Puts it into a page before it is loaded. The answer lets go of the cable. */
export async function withWebSerial(page: Page, cable: Pty): Promise<() => Promise<void>> {
  const close = await withCable(page, cable);
  await page.addInitScript(() => {
    const hooks = window as unknown as Hooks;
    const bytesOf = (text: string) => Uint8Array.from(text, (letter) => letter.charCodeAt(0));
    const port = {
      readable: null as ReadableStream<Uint8Array> | null,
      writable: null as WritableStream<Uint8Array> | null,
      getInfo: () => ({ usbVendorId: 1, usbProductId: 2 }),
      async open() {
        if (port.readable) throw new DOMException('The port is already open.', 'InvalidStateError');
        await hooks.openCable();
        port.readable = new ReadableStream({
          start(stream) {
            hooks.fromCable = (text) => stream.enqueue(bytesOf(text));
            hooks.cableOut = () => {
              port.readable = null;
              port.writable = null;
              stream.error(new DOMException('The device has been lost.', 'NetworkError'));
            };
          },
        });
        port.writable = new WritableStream({
          write: (bytes) => hooks.toCable(String.fromCharCode(...bytes)),
        });
      },
      async close() {
        port.readable = null;
        port.writable = null;
        await hooks.closeCable();
      },
    };
    const serial = { requestPort: async () => port, getPorts: async () => [port] };
    Object.defineProperty(navigator, 'serial', { value: serial });
  });
  return close;
}

/** The same over Bluetooth low energy: notified in pieces of 20 bytes, and written in pieces that are no longer. */
export async function withWebBluetooth(
  page: Page,
  cable: Pty,
  uuids: BleUuids,
): Promise<() => Promise<void>> {
  const close = await withCable(page, cable);
  await page.addInitScript((known) => {
    const hooks = window as unknown as Hooks;
    const notify = Object.assign(new EventTarget(), {
      value: undefined as DataView | undefined,
      startNotifications: async () => undefined,
    });
    const write = {
      async writeValueWithResponse(bytes: Uint8Array) {
        if (bytes.length > 20) throw new Error('too long for one write');
        await hooks.toCable(String.fromCharCode(...bytes));
      },
    };
    const need = (given: string, wanted: string) => {
      if (given !== wanted) throw new DOMException(`nothing at ${given}`, 'NotFoundError');
    };
    const gatt = {
      connected: false,
      async connect() {
        await hooks.openCable();
        gatt.connected = true;
        hooks.fromCable = (text) => {
          for (let start = 0; start < text.length; start += 20) {
            const piece = Uint8Array.from(text.slice(start, start + 20), (letter) => letter.charCodeAt(0));
            notify.value = new DataView(piece.buffer);
            notify.dispatchEvent(new Event('characteristicvaluechanged'));
          }
        };
        hooks.cableOut = () => gatt.disconnect();
        return {
          async getPrimaryService(uuid: string) {
            need(uuid, known.service);
            return {
              async getCharacteristic(one: string) {
                if (one === known.notify) return notify;
                need(one, known.write);
                return write;
              },
            };
          },
        };
      },
      disconnect() {
        gatt.connected = false;
        void hooks.closeCable();
        device.dispatchEvent(new Event('gattserverdisconnected'));
      },
    };
    const device = Object.assign(new EventTarget(), { gatt });
    const bluetooth = {
      async requestDevice({ filters }: { filters: { services: string[] }[] }) {
        need(filters[0]?.services[0] ?? '', known.service);
        return device;
      },
    };
    Object.defineProperty(navigator, 'bluetooth', { value: bluetooth });
  }, uuids);
  return close;
}

/** As a browser writes them. */
export interface BleUuids {
  service: string;
  notify: string;
  write: string;
}
