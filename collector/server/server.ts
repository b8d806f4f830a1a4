/** The collector's web server: the page, the archive and the live feed, for this machine alone or for the network. */
import { createServer, type IncomingMessage, type Server } from 'node:http';
import { createServer as createSecureServer } from 'node:https';
import type { Socket } from 'node:net';
import type { Duplex } from 'node:stream';
import { type WebSocket, WebSocketServer } from 'ws';
import { BOARD_PATH } from '../../protocol/browser-link.ts';
import { LIVE_PATH } from '../../protocol/live-messages.ts';
import type { Clock } from '../clock.ts';
import { lanAddresses, ownHostNames } from './addresses.ts';
import { type CheckBoards, type Clients, createClients, type TakeEntry } from './clients.ts';
import { type House, type Refusal, refusalOf } from './doors.ts';
import type { Feed } from './feed.ts';
import { listen } from './listen.ts';
import type { WaysDoor } from './page-ways.ts';
import { buildSite, kilnPath, type PastFirings } from './site.ts';

/** Nothing that a page sends is longer. */
const MAX_PAYLOAD_BYTES = 64 * 1024;
const MAX_PAGES = 64;
/** Far more than pages need, and far fewer than would leave the archive without file handles. */
const MAX_CONNECTIONS = 256;
/** Who opens a connection and says nothing holds one of them no longer than this. */
const HEADERS_WITHIN_MS = 10_000;
/** A socket on which nothing moves for so long, though the time is sent every second, is dead. */
const STALLED_MS = 30_000;
const BEAT_MS = 1000;
/** Pages have so long to say goodbye. */
const GOODBYE_MS = 500;
/** A firing that is taken over may be a large file on a slow radio link; all else is seen to in `site.ts`. */
const FILE_WITHIN_MS = 300_000;
const PATIENCE = {
  headersTimeout: HEADERS_WITHIN_MS,
  requestTimeout: FILE_WITHIN_MS,
  connectionsCheckingInterval: 5000,
} as const;
const GOOD_KEY = /^[\w-]{16,200}$/;

/** One kiln as it is served. */
export interface ServedKiln {
  /** Of a-z, 0-9 and -; null for the only one, which is served at `/`, the others at `/kiln/NAME/`. */
  name: string | null;
  feed: Feed;
  firings: PastFirings;
  /** Writes down what a page logged; the answer is null, or why not in one sentence. */
  onLog: TakeEntry;
  /** Says how its boards stand, where that can be asked. */
  onCheck?: CheckBoards;
  /** Takes the pages in that read its board for it. */
  readers?: Door;
}

/** Where sockets of one kind come in. */
type Door = Pick<Clients, 'beat' | 'count' | 'close' | 'drop'> & {
  add(socket: WebSocket, where: string): void;
};

export interface ServerOptions {
  /** At least one. */
  kilns: readonly ServedKiln[];
  clock: Clock;
  /** Holds index.html and the files that it names. */
  staticFolder: string;
  /** 0: any that is free. */
  port: number;
  /** The user named this port: no other one will do. */
  portAsked: boolean;
  /** Open to the network, each visitor with the pairing key; else to this machine alone. */
  lan: boolean;
  /** 16 or more letters, digits, `-` and `_`. */
  pairingKey: string;
  /** Serves the page over HTTPS as well. */
  secure?: SecureDoor | undefined;
  /** Names of this machine beside its own: that by which it is found in the network. */
  names?: readonly string[];
  /** The ways that an alert reaches a person. */
  ways?: WaysDoor | undefined;
  /** Told of what went wrong, in a sentence. */
  onTrouble(text: string): void;
  /** Real milliseconds; 30 s unless told. */
  stalledMs?: number;
}

export interface SecureDoor {
  /** PEM texts. */
  cert: string;
  key: string;
  /** What phones are to trust, as PEM; null where they trust the certificate already. */
  authority: string | null;
  /** 0: any that is free. */
  port: number;
  portAsked: boolean;
}

export interface RunningServer {
  port: number;
  /** Null where there is no HTTPS. */
  securePort: number | null;
  /** Another certificate from now on. */
  renew(pair: { cert: string; key: string }): void;
  /** Links to print, the likeliest first; in the network they carry the pairing key. */
  urls: string[];
  /** Says goodbye to all pages and lets go of the port. */
  close(): Promise<void>;
}

/**
 * Opens the port and serves until closed. Rejects with one clear sentence where no port can be had, or the pairing key
 * is too weak.
 */
export async function startServer(options: ServerOptions): Promise<RunningServer> {
  const { kilns, clock, staticFolder, lan, pairingKey, onTrouble } = options;
  if (!GOOD_KEY.test(pairingKey))
    throw new Error('The pairing key must be 16 or more letters, digits, hyphens or underscores.');
  let port = options.port;
  let securePort = options.secure?.port ?? 0;
  const names = () => new Set([...ownHostNames(), ...(options.names ?? [])]);
  const house = (): House => ({ port, names: names(), lan, pairingKey, secure: false });
  const secureHouse = (): House => ({ ...house(), port: securePort, secure: true });
  const lives = new Map<string, Door>();
  const served = kilns.map(({ name, feed, firings, onLog, onCheck, readers }) => {
    const path = kilnPath(name);
    const clients = createClients(feed, onLog, undefined, onCheck, options.ways);
    lives.set(`${path.slice(0, -1)}${LIVE_PATH}`, clients);
    if (readers) lives.set(`${path.slice(0, -1)}${BOARD_PATH}`, readers);
    return { name, path, feed, firings, pages: clients.count };
  });
  for (const { name, feed } of served) {
    const others = served.filter((other) => other.name !== name);
    if (others.length > 0)
      feed.setOthers(() =>
        others.map((other) => ({ kiln: other.name ?? '', path: other.path, alerts: other.feed.calls() })),
      );
  }
  const authority = options.secure?.authority ?? null;
  const trust = authority === null ? null : { authority, securePort: () => securePort };
  const site = { kilns: served, staticFolder, now: clock.now, trust, onTrouble };
  const stalledMs = options.stalledMs ?? STALLED_MS;
  const http = createServer(PATIENCE, buildSite({ ...site, house }));
  const https =
    options.secure &&
    createSecureServer(
      { ...PATIENCE, cert: options.secure.cert, key: options.secure.key, minVersion: 'TLSv1.2' },
      buildSite({ ...site, house: secureHouse }),
    );
  const doors = https ? [http, https] : [http];
  for (const door of doors) door.maxConnections = MAX_CONNECTIONS;
  http.on('upgrade', liveDoor(lives, house, stalledMs));
  https?.on('upgrade', liveDoor(lives, secureHouse, stalledMs));

  const host = lan ? '0.0.0.0' : '127.0.0.1';
  port = await listen(http, { host, port, fixed: options.portAsked });
  if (https && options.secure)
    securePort = await listen(https, { host, port: securePort, fixed: options.secure.portAsked }).catch(
      async (cause: unknown) => {
        await goodbye([http], []);
        throw cause;
      },
    );
  const beats = setInterval(() => {
    for (const clients of lives.values()) clients.beat();
  }, BEAT_MS);
  let closed: Promise<void> | null = null;
  return {
    port,
    securePort: https ? securePort : null,
    renew: (pair) => https?.setSecureContext(pair),
    urls: links(port, lan ? pairingKey : null),
    close() {
      clearInterval(beats);
      closed ??= goodbye(doors, [...lives.values()]);
      return closed;
    },
  };
}

function links(port: number, key: string | null): string[] {
  if (key === null) return [`http://127.0.0.1:${port}/`];
  return [...lanAddresses(), '127.0.0.1'].map((address) => `http://${address}:${port}/?key=${key}`);
}

/** Takes a page's WebSocket in, or says why not. */
function liveDoor(lives: ReadonlyMap<string, Door>, house: () => House, stalledMs: number) {
  const live = new WebSocketServer({
    noServer: true,
    perMessageDeflate: false,
    clientTracking: false,
    maxPayload: MAX_PAYLOAD_BYTES,
  });
  return (request: IncomingMessage, stream: Duplex, head: Buffer) => {
    // Until the library takes over, a connection that breaks would end the collector.
    const ignore = () => stream.destroy();
    stream.on('error', ignore);
    const found = liveClients(request, lives, house());
    if ('status' in found) {
      turnAway(stream, found);
      return;
    }
    live.handleUpgrade(request, stream, head, (socket) => {
      stream.off('error', ignore);
      const from = (request.socket.remoteAddress ?? '').replace(/^::ffff:/, '');
      // Node's time-out looks at how far a pending write has come, so a slow page that still takes bytes is let be.
      (stream as Socket).setTimeout(stalledMs, () => socket.terminate());
      found.add(socket, `page ${from}`.trim());
    });
  };
}

/** The pages of the kiln whose live feed is asked for, or why it may not be had. */
function liveClients(
  request: IncomingMessage,
  lives: ReadonlyMap<string, Door>,
  house: House,
): Door | Refusal {
  const refusal = refusalOf(request.headers, house, true);
  if (refusal) return refusal;
  const [path = ''] = (request.url ?? '').split('?');
  const clients = lives.get(path);
  if (clients === undefined) return { status: 404, text: 'There is nothing at this address.' };
  const pages = [...lives.values()].reduce((sum, each) => sum + each.count(), 0);
  return pages >= MAX_PAGES ? { status: 503, text: 'Too many pages are open: close some.' } : clients;
}

const REASONS: Record<Refusal['status'], string> = {
  403: 'Forbidden',
  404: 'Not Found',
  503: 'Service Unavailable',
};

function turnAway(stream: Duplex, { status, text }: Refusal): void {
  const head = [
    `HTTP/1.1 ${status} ${REASONS[status]}`,
    'Connection: close',
    'Content-Type: text/plain; charset=utf-8',
    `Content-Length: ${Buffer.byteLength(text)}`,
  ];
  // Nobody else watches over this connection any more: whoever does not close it is not waited for.
  stream.end(`${head.join('\r\n')}\r\n\r\n${text}`, () => stream.destroy());
}

async function goodbye(doors: Server[], lives: Door[]): Promise<void> {
  for (const clients of lives) clients.close();
  const grace = setTimeout(() => {
    for (const clients of lives) clients.drop();
    for (const door of doors) door.closeAllConnections();
  }, GOODBYE_MS);
  await Promise.all(doors.map((door) => new Promise<void>((resolve) => door.close(() => resolve()))));
  clearTimeout(grace);
}
