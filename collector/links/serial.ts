/**
 * A board on a serial port, held on to for as long as the firing lasts: whatever breaks, it is opened again.
 *
 *     waiting --back-off--> opening --> up --broken, gone, reopen()--> shutting --> waiting
 *        ^                     |
 *        +------- failed ------+           close() leads to `closed` from everywhere
 *
 * There is one phase, and one timer, which belongs to the phase. A connection is new each time: when it has been
 * let go of, nothing that it still emits is heard.
 */
import { realpath } from 'node:fs/promises';
import { basename } from 'node:path';
import type { Clock } from '../clock.ts';
import type { Link, LinkHandlers, OpenLink } from './link.ts';
import { type OpenPort, openSerialPort, type Port } from './port.ts';
import { type PortLines, readPortLines } from './port-lines.ts';
import { missingPort, portTrouble, readPortFacts } from './port-trouble.ts';
import { BY_ID_FOLDER, stableNameOf, whatIsAt } from './stable-name.ts';

const BACKOFF_MS = { first: 500, last: 10_000 };
/** Bluetooth may take many seconds; a second try beside the first would only hold up more threads. */
const SLOW_OPENING_MS = 10_000;
/** A port that opens and fails at once is no open port. */
const CONFIRM_MS = 250;
const WATCH_MS = 2_000;
/** A port that does not close is left to itself. */
const CLOSING_MS = 3_000;
/** How long the board's by-id name must be gone before another board at the given path is taken in its place. */
const STRANGER_MS = 30_000;
/** Beyond this a port does not drain, and what is sent is dropped. At 9600 baud one second's worth. */
const MAX_UNSENT_BYTES = 1_024;
/** Output that has waited for so long also holds up the library's reading: the port is opened anew... */
const STUCK_MS = 5_000;
/** ...and nothing is sent to it for this long. */
const DEAF_MS = 600_000;
/** However fast the clock runs, a machine takes its time to hand bytes on. */
const STUCK_REAL_MS = 1_000;
/** At a wrong speed about half of all bytes are no text; of fewer bytes than this nothing can be said. */
const GARBLED = { atLeastBytes: 32, oddShare: 0.4 };

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
  port: Port;
  target: string;
  /** What was at the target's path when it was opened. */
  place: string | null;
  lines: PortLines;
  letGo: () => void;
  confirmed: boolean;
  garbled: boolean;
  unsentSince: number | null;
}

type Phase = 'waiting' | 'opening' | 'up' | 'shutting' | 'closed';

/**
 * Opens the port and keeps it open until `close()`. Errors are told as `unplugged`, in one sentence with the cure,
 * once until it changes; it tries again for ever.
 */
export function serialLink(options: SerialLinkOptions): OpenLink {
  return (handlers) => openSerialLink(options, handlers);
}

function openSerialLink(options: SerialLinkOptions, handlers: LinkHandlers): Link {
  const { path, baudRate, clock, openPort = openSerialPort, byIdFolder = BY_ID_FOLDER } = options;
  let phase: Phase = 'waiting';
  let connection: Connection | null = null;
  let cancelTimer: () => void = () => undefined;
  let failures = 0;
  let stableName: string | null = null;
  let wasOpen = false;
  let lostAt = Number.NEGATIVE_INFINITY;
  let deafUntil = Number.NEGATIVE_INFINITY;
  let told = '';
  let tried = path;
  let closing: { done: Promise<void>; resolve: () => void } | null = null;

  const setTimer = (ms: number, fn: () => void) => {
    cancelTimer();
    cancelTimer = clock.after(ms, fn);
  };
  const tell: LinkHandlers['standing'] = (state, text) => {
    if (closing || told === `${state} ${text}`) return;
    told = `${state} ${text}`;
    handlers.standing(state, text);
  };

  const finish = () => {
    cancelTimer();
    phase = 'closed';
    closing?.resolve();
  };
  const wait = () => {
    if (closing) return finish();
    phase = 'waiting';
    setTimer(Math.min(BACKOFF_MS.first * 2 ** failures, BACKOFF_MS.last), open);
    failures += 1;
  };

  /** The port to open: the board by its own name while that is there, else the path that was given. */
  const chooseTarget = async () => {
    if (stableName === null || (await whatIsAt(stableName)) !== null) return stableName ?? path;
    tried = stableName;
    if (clock.now() - lostAt < STRANGER_MS) throw new Error('ENOENT');
    return path;
  };
  const attempt = async () => {
    const target = await chooseTarget();
    tried = target;
    const [place, known] = [await whatIsAt(target), await stableNameOf(target, byIdFolder)];
    const port = await openPort({ path: target, baudRate });
    if (target === path) stableName = known;
    return { port, target, place };
  };
  const open = () => {
    phase = 'opening';
    setTimer(SLOW_OPENING_MS, () =>
      tell('unplugged', `${path} does not open yet: unplug the board and plug it in again.`),
    );
    attempt().then(opened, failed);
  };
  const failed = async (error: unknown) => {
    const message = error instanceof Error ? error.message : String(error);
    const facts = await readPortFacts(tried);
    if (phase !== 'opening') return;
    tell('unplugged', portTrouble(facts.node === 'missing' ? path : tried, message, facts, wasOpen));
    wait();
  };

  const opened = ({ port, target, place }: Pick<Connection, 'port' | 'target' | 'place'>) => {
    if (closing) {
      port.close().then(finish, finish);
      return;
    }
    const over = () => void lost(fresh);
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
    const fresh: Connection = {
      port,
      target,
      place,
      lines,
      letGo,
      confirmed: false,
      garbled: false,
      unsentSince: null,
    };
    connection = fresh;
    phase = 'up';
    setTimer(CONFIRM_MS, () => void watch(fresh));
  };

  /** Lets go of the connection, closes its port, and goes on to wait (or ends) when that is done or takes too long. */
  const shut = ({ port, letGo }: Connection) => {
    letGo();
    connection = null;
    phase = 'shutting';
    const shutOnce = () => {
      if (phase === 'shutting') wait();
    };
    setTimer(CLOSING_MS, shutOnce);
    port.close().then(shutOnce, shutOnce);
  };
  const lost = async (broken: Connection) => {
    lostAt = clock.now();
    shut(broken);
    const gone = (await whatIsAt(broken.target)) !== broken.place;
    if (phase === 'up') return;
    tell(
      'unplugged',
      gone
        ? missingPort(path, true)
        : `The connection to ${path} broke off: check the cable; Spyhole tries again by itself.`,
    );
  };

  const openText = async (of: Connection) => {
    if (clock.now() < deafUntil)
      return `${path} is open, but takes nothing from us: a lamp or buzzer on the board stays silent.`;
    if (of.garbled)
      return `What comes from ${path} is no text: the speed is likely wrong; it is ${baudRate} baud now, give the board's own with --baud.`;
    if (stableName === null) return `${path} is open.`;
    const device = await realpath(of.target).catch(() => of.target);
    const was = device === path ? '' : ` (it was ${path})`;
    return `The board known as ${basename(stableName)} is open at ${device}${was}; it may be plugged in at any socket.`;
  };
  /** Looks after an open connection: still open, still there, still draining, and making sense. */
  const watch = async (watched: Connection) => {
    const { port, lines } = watched;
    const gone = !port.isOpen() || (await whatIsAt(watched.target)) !== watched.place;
    if (connection !== watched) return;
    if (gone) return lost(watched);
    if (
      watched.unsentSince !== null &&
      clock.now() - watched.unsentSince > Math.max(STUCK_MS, STUCK_REAL_MS * clock.rate)
    ) {
      deafUntil = clock.now() + DEAF_MS;
      return shut(watched);
    }
    if (watched.confirmed) failures = 0;
    watched.confirmed = true;
    wasOpen = true;
    const { bytes, odd } = lines.tally();
    if (bytes >= GARBLED.atLeastBytes) watched.garbled = odd > bytes * GARBLED.oddShare;
    const text = await openText(watched);
    if (connection !== watched) return;
    tell('open', text);
    setTimer(WATCH_MS, () => void watch(watched));
  };

  tell('connecting', `Opening ${path}.`);
  open();

  return {
    name: basename(path).replace(/\s+/g, '-'),
    send: (line) => {
      const to = connection;
      if (!to?.port.sink.writable || clock.now() < deafUntil) return;
      const { sink } = to.port;
      if (sink.writableLength + line.length + 1 > MAX_UNSENT_BYTES) return;
      to.unsentSince ??= clock.now();
      sink.write(`${line}\n`, 'latin1', () => {
        to.unsentSince = sink.writableLength === 0 ? null : clock.now();
      });
    },
    reopen: () => {
      if (!connection) return;
      tell('connecting', `Nothing came from ${path}: opening it again.`);
      failures = 0;
      shut(connection);
    },
    close: () => {
      if (closing) return closing.done;
      let resolve: () => void = () => undefined;
      const done = new Promise<void>((settle) => {
        resolve = settle;
      });
      closing = { done, resolve };
      if (connection) shut(connection);
      else if (phase === 'waiting') finish();
      else if (phase === 'opening') setTimer(CLOSING_MS, finish);
      return done;
    },
  };
}
