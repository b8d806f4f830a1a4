/** A radio for tests: boards that are in reach or not, notify in pieces of any size, and vanish. */
import type {
  Gatt,
  GattAnswer,
  GattConnection,
  GattListener,
  GattTarget,
} from '../../collector/links/gatt.ts';

export const TARGET: GattTarget = {
  device: 'shed-1',
  service: '0000ab0000001000800000805f9b34fb',
  notify: 'ab01',
  write: 'ab02',
};

export interface FakeConnection extends GattConnection {
  listener: GattListener;
  /** Pieces that were written, as text. */
  written: string[];
  /** Says this, in notifications of at most so many bytes. */
  say(text: string, most?: number): void;
  /** Goes out of reach, and tells it so often. */
  vanish(times?: number): void;
  closed: boolean;
}

export function fakeConnection(
  listener: GattListener,
  how: { mtu?: number; takes?: boolean | Promise<void> } = {},
): FakeConnection {
  const { mtu = 23, takes = true } = how;
  let open = true;
  const made: FakeConnection = {
    listener,
    written: [],
    closed: false,
    isOpen: () => open,
    writeBytes: () => mtu - 3,
    write: async (bytes) => {
      if (typeof takes !== 'boolean') await takes;
      if (!takes || !open) throw new Error('not connected');
      made.written.push(Buffer.from(bytes).toString('latin1'));
    },
    close: async () => {
      open = false;
      made.closed = true;
    },
    say: (text, most = 20) => {
      const bytes = Buffer.from(text, 'latin1');
      for (let start = 0; start < bytes.length; start += most)
        listener.data(bytes.subarray(start, start + most));
    },
    vanish: (times = 1) => {
      open = false;
      for (let i = 0; i < times; i += 1) listener.gone();
    },
  };
  return made;
}

export interface FakeGatt extends Gatt {
  tries: number;
  connections: FakeConnection[];
  aborted: number;
  rests: number;
}

type Answer = (
  listener: GattListener,
) => FakeConnection | Extract<GattAnswer, { ok: false }> | Promise<never>;

/** Each try takes the next answer; the last one is repeated. */
export function fakeGatt(...answers: Answer[]): FakeGatt {
  const gatt: FakeGatt = {
    tries: 0,
    connections: [],
    aborted: 0,
    rests: 0,
    rest: () => {
      gatt.rests += 1;
    },
    connect: async (_target, listener, signal) => {
      const answer = answers[Math.min(gatt.tries, answers.length - 1)];
      gatt.tries += 1;
      signal.addEventListener('abort', () => {
        gatt.aborted += 1;
      });
      const made = await answer?.(listener);
      if (made === undefined) throw new Error('no answer');
      if ('ok' in made) return made;
      gatt.connections.push(made);
      return { ok: true, connection: made };
    },
  };
  return gatt;
}
