/** A board over Bluetooth low energy: the hands of `ble-steps.ts`, which says what is to be done. */
import { PassThrough } from 'node:stream';
import type { Clock } from '../clock.ts';
import { type BleDeed, type BleEvent, bleStep, newBleState } from './ble-steps.ts';
import { type Gatt, type GattConnection, type GattTarget, piecesOf } from './gatt.ts';
import { gattTrouble } from './gatt-words.ts';
import { handsOf, MAX_UNSENT_BYTES } from './hands.ts';
import { mayListen } from './held.ts';
import type { Link, LinkHandlers, OpenLink } from './link.ts';
import { type PortLines, readPortLines } from './port-lines.ts';

interface BleLinkOptions {
  target: GattTarget;
  gatt: Gatt;
  /** Every time-out is in its time. */
  clock: Clock;
}

interface Try {
  stop: AbortController;
  source: PassThrough;
  lines: PortLines;
  connection: GattConnection | null;
  unsentBytes: number;
  unsentSince: number | null;
  /** The write that goes out after all before it. */
  writing: Promise<void>;
}

/**
 * Connects the board and stays connected until `close()`. Trouble is told as `unplugged`, in one sentence with the cure,
 * once until it changes; it tries again for ever.
 */
export function bleLink(options: BleLinkOptions): OpenLink {
  return (handlers) => openBleLink(options, handlers);
}

function openBleLink({ target, gatt, clock }: BleLinkOptions, handlers: LinkHandlers): Link {
  const state = newBleState(target.device, clock.rate);
  const tries = new Map<number, Try>();
  const { take, own } = handsOf<BleEvent, BleDeed>({
    clock,
    handlers,
    step: (event, at) => bleStep(state, event, at),
    carryOut,
    atEnd: () => gatt.rest(),
  });

  function carryOut(effect: BleDeed): void {
    switch (effect.kind) {
      case 'open':
        void open(effect.id);
        break;
      case 'examine':
        examine(effect.id);
        break;
      case 'abandon':
        letGo(effect.id);
        break;
      case 'shut':
        void shut(effect.id);
        break;
    }
  }

  async function open(id: number): Promise<void> {
    const source = new PassThrough();
    const lines = readPortLines(
      source,
      (text) => handlers.line(Math.floor(clock.now()), text),
      () => handlers.dropped(),
    );
    const stop = new AbortController();
    const made: Try = {
      stop,
      source,
      lines,
      connection: null,
      unsentBytes: 0,
      unsentSince: null,
      writing: Promise.resolve(),
    };
    tries.set(id, made);
    const answer = await gatt.connect(
      target,
      {
        data: (bytes) => {
          if (tries.has(id)) source.write(Buffer.from(bytes));
        },
        gone: () => take({ kind: 'gone', id }),
      },
      stop.signal,
    );
    if (!tries.has(id)) {
      // It was abandoned meanwhile.
      if (answer.ok) await answer.connection.close();
      return;
    }
    if (!answer.ok) {
      letGo(id);
      take({ kind: 'failed', id, text: gattTrouble(target, answer.why, answer.detail) });
      return;
    }
    made.connection = answer.connection;
    take({ kind: 'opened', id });
    // It may have ended before anybody knew that it had begun.
    if (!answer.connection.isOpen()) take({ kind: 'gone', id });
  }

  function examine(id: number): void {
    const looked = tries.get(id);
    if (!looked) return;
    const unsentForMs = looked.unsentSince === null ? 0 : clock.now() - looked.unsentSince;
    take({ kind: 'examined', id, isOpen: looked.connection?.isOpen() ?? false, unsentForMs });
  }

  /** From here on nothing of this try is heard. The answer is its connection. */
  function letGo(id: number): GattConnection | null {
    const old = tries.get(id);
    if (!old) return null;
    old.stop.abort();
    old.lines.stop();
    old.source.destroy();
    tries.delete(id);
    return old.connection;
  }

  async function shut(id: number): Promise<void> {
    await letGo(id)?.close();
    take({ kind: 'shut', id });
  }

  function send(line: string): void {
    const to = tries.get(state.id);
    const connection = to?.connection;
    if (!to || !connection || state.phase !== 'up' || !mayListen(state, clock.now())) return;
    const bytes = Buffer.from(`${line}\n`, 'latin1');
    if (to.unsentBytes + bytes.length > MAX_UNSENT_BYTES) return;
    to.unsentBytes += bytes.length;
    to.unsentSince ??= clock.now();
    to.writing = to.writing.then(async () => {
      for (const piece of piecesOf(bytes, connection.writeBytes())) {
        await connection.write(piece);
        to.unsentBytes -= piece.length;
        to.unsentSince = to.unsentBytes === 0 ? null : clock.now();
      }
    });
    const { id } = state;
    to.writing.catch(() => take({ kind: 'gone', id }));
  }

  take({ kind: 'start' });
  return {
    name: target.device.replace(/\s+/g, '-'),
    send,
    ...own,
  };
}
