/**
 * A board that a browser reads: a page has the board's port, and hands its bytes to the collector over a WebSocket.
 *
 *     nobody --hold--> held --port open--> open --port shut--> held --page gone, let go--> nobody …
 *
 * To the rest of the collector it is a link like the others. One page holds it; another is told which.
 */
import { PassThrough } from 'node:stream';
import type { WebSocket } from 'ws';
import { type FromReader, fromReaderSchema, type ToReader } from '../../protocol/browser-link.ts';
import type { Clock } from '../clock.ts';
import type { GattTarget } from './gatt.ts';
import { MAX_UNSENT_BYTES } from './hands.ts';
import type { Link, LinkHandlers, OpenLink } from './link.ts';
import { isGarbled, type PortLines, readPortLines } from './port-lines.ts';

const BEAT_EVERY_BEATS = 5;
/** Beats in a row without a word from the page, after which it is gone. */
const MAX_UNANSWERED = 3;

const NOBODY =
  'No browser reads the board yet: open this page on the computer or phone that the board is plugged into, and there, under This page, tap Read the board here.';

type ReaderSocket = Pick<
  WebSocket,
  | 'readyState'
  | 'OPEN'
  | 'bufferedAmount'
  | 'send'
  | 'ping'
  | 'close'
  | 'terminate'
  | 'on'
  | 'pause'
  | 'resume'
>;

/** The same as that of the live pages: the server tends both alike. */
export interface ReaderDoor {
  add(socket: ReaderSocket, where: string): void;
  beat(): void;
  count(): number;
  close(): void;
  drop(): void;
}

interface Reader {
  socket: ReaderSocket;
  where: string;
  phone: string;
  name: string;
  /** The board's bytes while its port stands open. */
  board: { source: PassThrough; lines: PortLines; garbled: boolean } | null;
  unanswered: number;
}

export interface BrowserLinkOptions {
  clock: Clock;
  baudRate: number;
  ble: Omit<GattTarget, 'device'> | null;
}

/** A door for readers where the collector reads its board itself. */
export function closedDoor(refused: string): ReaderDoor {
  return browserLink({ clock: { now: () => 0 }, baudRate: 1, ble: null }, refused).door;
}

export function browserLink(
  { clock, baudRate, ble }: Omit<BrowserLinkOptions, 'clock'> & { clock: Pick<Clock, 'now'> },
  refused: string | null = null,
): { openLink: OpenLink; door: ReaderDoor } {
  const readers = new Set<Reader>();
  let holder: Reader | null = null;
  let handlers: LinkHandlers | null = null;
  let told = '';
  let beats = 0;

  const tell = (state: Parameters<LinkHandlers['standing']>[0], text: string) => {
    if (told === `${state} ${text}`) return;
    told = `${state} ${text}`;
    handlers?.standing(state, text);
  };
  const say = ({ socket }: Reader, message: ToReader) => {
    if (socket.readyState === socket.OPEN) socket.send(JSON.stringify(message));
  };
  const openWords = ({ name }: Reader) => `The board is read by ${name}.`;

  function shutBoard(reader: Reader): void {
    reader.board?.lines.stop();
    reader.board?.source.destroy();
    reader.board = null;
    reader.socket.resume();
  }

  function openBoard(reader: Reader): void {
    shutBoard(reader);
    const source = new PassThrough();
    const lines = readPortLines(
      source,
      (text) => handlers?.line(Math.floor(clock.now()), text),
      () => handlers?.dropped(),
    );
    source.on('drain', () => reader.socket.resume());
    reader.board = { source, lines, garbled: false };
    tell('open', openWords(reader));
  }

  function hold(reader: Reader, { phone, name }: Extract<FromReader, { type: 'hold' }>): void {
    // The same browser once more: its page was loaded anew, and the old one has not been missed yet.
    const before = holder;
    if (before !== null && before !== reader && before.phone !== phone) {
      say(reader, {
        type: 'refused',
        text: `The board is read by ${before.name} already: let go of it there first.`,
      });
      return;
    }
    Object.assign(reader, { phone, name });
    holder = reader;
    if (before !== null && before !== reader) {
      shutBoard(before);
      before.socket.close();
    }
    tell('connecting', `${name} opens the board's port.`);
    say(reader, { type: 'held' });
  }

  function letGo(reader: Reader, text: string): void {
    if (holder !== reader) return;
    shutBoard(reader);
    holder = null;
    tell('unplugged', text);
  }

  function obey(reader: Reader, message: FromReader): void {
    if (message.type === 'ask' || refused !== null)
      say(reader, { type: 'told', baudRate, ble, holder: holder?.name ?? null, refused });
    else if (message.type === 'hold') hold(reader, message);
    else if (holder !== reader) return;
    else if (message.type === 'let-go') letGo(reader, `${reader.name} has let go of the board. ${NOBODY}`);
    else if (message.open) openBoard(reader);
    else {
      shutBoard(reader);
      tell('unplugged', message.text || `The board is not heard by ${reader.name}: check its cable.`);
    }
  }

  function hear(reader: Reader, data: Buffer, isBinary: boolean): void {
    reader.unanswered = 0;
    if (isBinary) {
      if (holder === reader && reader.board?.source.write(data) === false) reader.socket.pause();
      return;
    }
    const parsed = fromReaderSchema.safeParse(jsonOf(String(data)));
    if (parsed.success) obey(reader, parsed.data);
  }

  const door: ReaderDoor = {
    add(socket, where) {
      const reader: Reader = { socket, where, phone: '', name: '', board: null, unanswered: 0 };
      readers.add(reader);
      socket.on('message', (data, isBinary) => hear(reader, data as Buffer, isBinary));
      socket.on('pong', () => {
        reader.unanswered = 0;
      });
      socket.on('error', () => socket.close());
      socket.on('close', () => {
        readers.delete(reader);
        letGo(reader, `${reader.name} is gone, and nobody reads the board. ${NOBODY}`);
      });
    },
    beat() {
      beats += 1;
      if (beats % BEAT_EVERY_BEATS !== 0) return;
      for (const reader of readers) {
        if (reader.unanswered >= MAX_UNANSWERED) reader.socket.terminate();
        else if (reader.socket.readyState === reader.socket.OPEN) {
          reader.socket.ping();
          say(reader, { type: 'beat' });
        }
        reader.unanswered += 1;
      }
      if (holder?.board) lookAt(holder, holder.board);
    },
    count: () => readers.size,
    close() {
      for (const { socket } of readers) socket.close(1001, 'The collector has been stopped.');
    },
    drop() {
      for (const { socket } of readers) socket.terminate();
    },
  };

  function lookAt(reader: Reader, board: NonNullable<Reader['board']>): void {
    board.garbled = isGarbled(board.lines.tally(), board.garbled);
    tell(
      'open',
      board.garbled
        ? `What ${reader.name} reads is no text: the speed is likely wrong; it is ${baudRate} baud now, give the board's own with --baud.`
        : openWords(reader),
    );
  }

  const openLink = (given: LinkHandlers): Link => {
    handlers = given;
    tell('connecting', NOBODY);
    return {
      name: 'browser',
      send(line) {
        const to = holder;
        if (!to?.board || to.socket.bufferedAmount + line.length + 1 > MAX_UNSENT_BYTES) return;
        to.socket.send(Buffer.from(`${line}\n`, 'latin1'), { binary: true });
      },
      reopen() {
        if (!holder) return;
        tell(
          'connecting',
          `Nothing came from the board that ${holder.name} reads: its port is opened again.`,
        );
        shutBoard(holder);
        say(holder, { type: 'reopen' });
      },
      async close() {
        handlers = null;
        for (const reader of readers) shutBoard(reader);
      },
    };
  };
  return { openLink, door };
}

function jsonOf(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}
