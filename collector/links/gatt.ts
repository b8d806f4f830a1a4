/**
 * Bluetooth low energy as far as a serial line over it needs: a board that offers a service with one characteristic that
 * notifies (board to us) and one that is written (us to board). The seam at which tests put a radio of their own.
 */

/** Where the line is. UUIDs in 32 or 4 hex digits, lower case, without hyphens; no product's are known here. */
export interface GattTarget {
  /** Name that it advertises, or its address. */
  device: string;
  service: string;
  notify: string;
  write: string;
}

/** Why there is no connection. */
export type GattTrouble =
  /** The computer has no Bluetooth, or nothing that speaks for it. */
  | 'no-adapter'
  | 'switched-off'
  | 'forbidden'
  | 'not-heard'
  | 'no-service'
  | 'no-notify'
  | 'no-write'
  | 'failed';

export interface GattConnection {
  isOpen(): boolean;
  /** Bytes that one write may carry now: the MTU less 3. */
  writeBytes(): number;
  /** Resolves when the bytes are handed over. */
  write(bytes: Uint8Array): Promise<void>;
  /** Ends the connection. Never rejects, at once if it has ended. */
  close(): Promise<void>;
}

export interface GattListener {
  data(bytes: Uint8Array): void;
  /** The connection has ended by itself; may come more than once. */
  gone(): void;
}

export type GattAnswer =
  | { ok: true; connection: GattConnection }
  | { ok: false; why: GattTrouble; detail: string };

export interface Gatt {
  /** Looks for the board, connects and subscribes. Never rejects. After `signal` aborts, it gives up soon. */
  connect(target: GattTarget, listener: GattListener, signal: AbortSignal): Promise<GattAnswer>;
  /** Nobody will connect any more: what would keep the program running is let go. Never throws. */
  rest(): void;
}

/** Bluetooth Core Specification, Vol 3, Part F and G: the MTU is 23 until more is agreed; 3 bytes are the header of a write. */
const DEFAULT_MTU = 23;
const WRITE_HEADER_BYTES = 3;

/** What a write may carry at this MTU; null: none was agreed. */
export function writeBytesOf(mtu: number | null): number {
  return Math.max(DEFAULT_MTU, mtu ?? DEFAULT_MTU) - WRITE_HEADER_BYTES;
}

/** The bytes in pieces that one write each may carry. */
export function* piecesOf(bytes: Uint8Array, most: number): Generator<Uint8Array> {
  for (let start = 0; start < bytes.length; start += most) yield bytes.subarray(start, start + most);
}

const SHORT = /^[0-9a-f]{4}$/;
const LONG = /^[0-9a-f]{32}$/;
/** The rest of a UUID that is given by its 16 bits (Bluetooth Core Specification, Vol 3, Part B). */
const BASE = '00001000800000805f9b34fb';

/** A UUID as this module takes it, with or without hyphens in it; null if it is none. */
export function uuidOf(text: string): string | null {
  const bare = text.trim().toLowerCase().replaceAll('-', '');
  return SHORT.test(bare) || LONG.test(bare) ? bare : null;
}

/** Whether two UUIDs are the same, one of them perhaps in its short form. */
export function sameUuid(a: string, b: string): boolean {
  const long = (text: string) => {
    const bare = uuidOf(text) ?? text;
    return SHORT.test(bare) ? `0000${bare}${BASE}` : bare;
  };
  return long(a) === long(b);
}
