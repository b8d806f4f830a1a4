/** A board on a serial port: the hands of `serial-steps.ts`, which says what is to be done. */
import { realpath } from 'node:fs/promises';
import { basename } from 'node:path';
import type { Clock } from '../clock.ts';
import { handsOf, MAX_UNSENT_BYTES } from './hands.ts';
import { mayListen } from './held.ts';
import type { Link, LinkHandlers, OpenLink } from './link.ts';
import { type OpenPort, openSerialPort, type Port } from './port.ts';
import { type PortLines, readPortLines } from './port-lines.ts';
import { readPortFacts } from './port-trouble.ts';
import { newPortState, type PortDeed, type PortEvent } from './serial-state.ts';
import { portStep } from './serial-steps.ts';
import { BY_ID_FOLDER, stableNameOf, whatIsAt } from './stable-name.ts';

export interface SerialLinkOptions {
  /** Any serial port: USB, Bluetooth, built in, or a pseudo-terminal. */
  path: string;
  baudRate: number;
  /** Every time-out is in its time. */
  clock: Clock;
  openPort?: OpenPort;
  byIdFolder?: string;
}

interface Connection {
  id: number;
  port: Port;
  target: string;
  /** What was at the target's path when it was opened. */
  place: string | null;
  lines: PortLines;
  letGo: () => void;
  unsentSince: number | null;
}

/**
 * Opens the port and keeps it open until `close()`. Errors are told as `unplugged`, in one sentence with the cure,
 * once until it changes; it tries again for ever.
 */
export function serialLink(options: SerialLinkOptions): OpenLink {
  return (handlers) => openSerialLink(options, handlers);
}

function openSerialLink(options: SerialLinkOptions, handlers: LinkHandlers): Link {
  const { path, baudRate, clock, openPort = openSerialPort, byIdFolder = BY_ID_FOLDER } = options;
  const state = newPortState({ path, baudRate, clockRate: clock.rate });
  const connections = new Map<number, Connection>();
  const { take, own } = handsOf<PortEvent, PortDeed>({
    clock,
    handlers,
    step: (event, at) => portStep(state, event, at),
    carryOut,
  });
  let made = 0;
  const fail = async (tried: string, error: unknown) => {
    const message = error instanceof Error ? error.message : String(error);
    take({ kind: 'failed', tried, message, facts: await readPortFacts(tried) });
  };

  function carryOut(effect: PortDeed): void {
    switch (effect.kind) {
      case 'look-for':
        void whatIsAt(effect.path).then((found) => take({ kind: 'looked', there: found !== null }));
        break;
      case 'open':
        open(effect.target).catch((error) => fail(effect.target, error));
        break;
      case 'fail':
        void fail(effect.tried, new Error('ENOENT'));
        break;
      case 'examine':
        void examine(effect.id);
        break;
      case 'shut':
        shut(effect.id);
        break;
      case 'look-after':
        void lookAfter(effect.id);
        break;
    }
  }

  async function open(target: string): Promise<void> {
    const [place, known] = [await whatIsAt(target), await stableNameOf(target, byIdFolder)];
    const port = await openPort({ path: target, baudRate });
    made += 1;
    const id = made;
    connections.set(id, { id, port, target, place, unsentSince: null, ...listenTo(id, port) });
    take({ kind: 'opened', id, target, known });
  }

  function listenTo(id: number, port: Port): Pick<Connection, 'lines' | 'letGo'> {
    const over = () => take({ kind: 'broken', id });
    const streams = new Set([port.source, port.sink]);
    for (const stream of streams) for (const event of ['error', 'close', 'end']) stream.on(event, over);
    const lines = readPortLines(
      port.source,
      (text) => handlers.line(Math.floor(clock.now()), text),
      () => handlers.dropped(),
    );
    const letGo = () => {
      lines.stop();
      for (const stream of streams) {
        for (const event of ['error', 'close', 'end']) stream.off(event, over);
        stream.on('error', () => undefined);
      }
    };
    return { lines, letGo };
  }

  async function lookAfter(id: number): Promise<void> {
    const broken = connections.get(id);
    if (broken) take({ kind: 'looked-after', gone: (await whatIsAt(broken.target)) !== broken.place });
  }

  async function examine(id: number): Promise<void> {
    const looked = connections.get(id);
    if (!looked) return;
    const { port, target, place, lines } = looked;
    const isOpen = port.isOpen();
    const samePlace = isOpen && (await whatIsAt(target)) === place;
    // Only a board with a name of its own may have come back elsewhere.
    const device = state.stableName === null ? target : await realpath(target).catch(() => target);
    // As it stands now: to look at the disk may have taken long.
    const unsentForMs = looked.unsentSince === null ? 0 : clock.now() - looked.unsentSince;
    take({ kind: 'examined', id, found: { isOpen, samePlace, unsentForMs, device, ...lines.tally() } });
  }

  function shut(id: number): void {
    const old = connections.get(id);
    if (!old) return;
    connections.delete(id);
    old.letGo();
    const shutOnce = () => take({ kind: 'shut', id });
    old.port.close().then(shutOnce, shutOnce);
  }

  take({ kind: 'start' });

  return {
    name: basename(path).replace(/\s+/g, '-'),
    send: (line) => {
      const to = state.up && connections.get(state.up.id);
      if (!to?.port.sink.writable || !mayListen(state, clock.now())) return;
      const { sink } = to.port;
      if (sink.writableLength + line.length + 1 > MAX_UNSENT_BYTES) return;
      to.unsentSince ??= clock.now();
      sink.write(`${line}\n`, 'latin1', () => {
        to.unsentSince = sink.writableLength === 0 ? null : clock.now();
      });
    },
    ...own,
  };
}
