/** A board over Bluetooth low energy (W3C Web Bluetooth): one characteristic that notifies, and one that is written. */
import type { BoardPort, OpenBoard } from './board-port.ts';

interface Characteristic extends EventTarget {
  readonly value?: DataView;
  startNotifications(): Promise<unknown>;
  writeValueWithResponse(bytes: Uint8Array): Promise<void>;
}

interface BluetoothDevice extends EventTarget {
  readonly gatt?: {
    readonly connected: boolean;
    connect(): Promise<{
      getPrimaryService(uuid: string): Promise<{ getCharacteristic(uuid: string): Promise<Characteristic> }>;
    }>;
    disconnect(): void;
  };
}

interface WebBluetooth {
  requestDevice(options: { filters: { services: string[] }[] }): Promise<BluetoothDevice>;
}

export interface BleLine {
  service: string;
  notify: string;
  write: string;
}

/** Bluetooth Core Specification, Vol 3, Part F: what any connection carries in one write, before more is agreed. */
const PIECE_BYTES = 20;
/** The rest of a UUID that is given by its 16 bits (Bluetooth Core Specification, Vol 3, Part B). */
const BASE = '-0000-1000-8000-00805f9b34fb';

export function hasBluetooth(): boolean {
  return 'bluetooth' in navigator;
}

/** As the browser takes it: with hyphens, in full. */
function fullUuid(bare: string): string {
  if (bare.length === 4) return `0000${bare}${BASE}`;
  return bare.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, '$1-$2-$3-$4-$5');
}

/** From within a press: the browser asks which. Rejects where the person chooses none. */
export async function chooseBluetooth(line: BleLine): Promise<BoardPort> {
  const { bluetooth } = navigator as unknown as { bluetooth: WebBluetooth };
  const device = await bluetooth.requestDevice({ filters: [{ services: [fullUuid(line.service)] }] });
  return { kind: 'bluetooth', open: () => openBluetooth(device, line) };
}

async function openBluetooth(device: BluetoothDevice, line: BleLine): Promise<OpenBoard> {
  const { gatt } = device;
  if (!gatt) throw new Error('no GATT');
  const server = await gatt.connect();
  const service = await server.getPrimaryService(fullUuid(line.service));
  const heard = await service.getCharacteristic(fullUuid(line.notify));
  const told = await service.getCharacteristic(fullUuid(line.write));
  const pieces: Uint8Array[] = [];
  let wake: () => void = () => undefined;
  let over = !gatt.connected;
  heard.addEventListener('characteristicvaluechanged', () => {
    const { value } = heard;
    // The browser may use the same memory for the next.
    if (value)
      pieces.push(new Uint8Array(value.buffer.slice(value.byteOffset, value.byteOffset + value.byteLength)));
    wake();
  });
  device.addEventListener('gattserverdisconnected', () => {
    over = true;
    wake();
  });
  await heard.startNotifications();
  let writing = Promise.resolve();
  return {
    async read(taken) {
      while (!over) {
        const piece = pieces.shift();
        if (piece) await taken(piece);
        else
          await new Promise<void>((resolve) => {
            wake = resolve;
          });
      }
    },
    write(bytes) {
      writing = writing
        .catch(() => undefined)
        .then(async () => {
          for (let start = 0; start < bytes.length; start += PIECE_BYTES)
            await told.writeValueWithResponse(bytes.slice(start, start + PIECE_BYTES));
        });
      return writing;
    },
    async close() {
      over = true;
      wake();
      if (gatt.connected) gatt.disconnect();
    },
  };
}
