/**
 * The pages that are connected. Each has a place in the feed's numbered messages and no queue of its own: what it has
 * not been sent yet is in the feed's ring, or is past and comes thinned in a new welcome. So a slow page costs no memory:
 *
 *     level --more than HIGH bytes wait--> held --drained to LOW--> caught up by the ring, or welcomed anew --> level
 *                                            \--nothing drained for 30 s, or more than HOPELESS bytes--> dropped
 */
import type { WebSocket } from 'ws';
import { type CollectorMessage, OLD_PAGE, type PageMessage } from '../../protocol/live-messages.ts';
import type { Feed } from './feed.ts';
import { type PageEntry, readPageMessage } from './page-messages.ts';
import { hearAboutWays, isAboutWays, type WaysDoor } from './page-ways.ts';

/** Bytes handed to a socket and not yet taken by the network: from here on a page is held, below the other it goes on. */
const HIGH_BYTES = 256 * 1024;
const LOW_BYTES = 64 * 1024;
/** Answers to a page's own messages go out even while it is held, up to here. */
const HOPELESS_BYTES = 4 * 1024 * 1024;
/** A page that has more than this to catch up with gets a thinned welcome instead. */
const CATCH_UP_BYTES = 512 * 1024;
const PING_EVERY_BEATS = 15;
/** Pings in a row without an answer, after which the page is gone. */
const MAX_PINGS = 3;
/** RFC 6455, section 7.4.1. */
const INTERNAL_ERROR = 1011;
/** Messages of a page: so many at once (what it noted while it was offline), and so many a second. */
const BURST_MESSAGES = 200;
const MESSAGES_PER_S = 20;

const OLD_PAGE_TEXT = 'This page is old: load it again.';
const TOO_MANY_TEXT = 'Too many entries at once: wait a few seconds and send it again.';

/** Takes a page's log entry; the answer is null once it is written down, or why not in one sentence. */
export type TakeEntry = (entry: PageEntry, where: string) => Promise<string | null>;

/** Says how the boards stand; `cable` names the link that is shut and opened again first. */
export type CheckBoards = (
  cable: string | null,
) => Omit<Extract<CollectorMessage, { type: 'checked' }>, 'type'>;

const NO_BOARDS: CheckBoards = () => ({ boards: [], refused: null });

/** The part of a socket that is used. */
export type PageSocket = Pick<
  WebSocket,
  'readyState' | 'OPEN' | 'bufferedAmount' | 'send' | 'ping' | 'close' | 'terminate' | 'on'
>;

export interface Clients {
  /** Serves a page that has just connected. `where` says for the log book where its entries come from. */
  add(socket: PageSocket, where: string): void;
  /** To be called each real second: tells every page the time, and finds those that are gone. */
  beat(): void;
  count(): number;
  /** Says goodbye to all. */
  close(): void;
  /** Drops those that have not gone. */
  drop(): void;
}

interface Client {
  socket: PageSocket;
  where: string;
  /** Null until it has greeted. */
  width: number | null;
  /** The newest message that it was sent. */
  n: number;
  wantsWelcome: boolean;
  held: boolean;
  /** It has not been told yet how the ways stand now. */
  owedWays: boolean;
  pings: number;
  tokens: number;
  tokensAt: number;
}

/** `realNowMs`: a monotonic clock, for the rate limit. `check`: where there are boards that can be asked. */
export function createClients(
  feed: Feed,
  takeEntry: TakeEntry,
  realNowMs: () => number = () => performance.now(),
  check: CheckBoards = NO_BOARDS,
  ways?: WaysDoor,
): Clients {
  const clients = new Set<Client>();
  const pending = new Map<string, Promise<string | null>>();
  let beats = 0;

  /** The one way out. False: the page is too far behind, and is held until it has drained. */
  function offer(client: Client, data: Buffer): boolean {
    const { socket } = client;
    const waiting = socket.bufferedAmount;
    if (waiting > LOW_BYTES && waiting + data.length > HIGH_BYTES) {
      client.held = true;
      return false;
    }
    socket.send(data, { binary: false }, () => drained(client));
    return true;
  }

  function drained(client: Client): void {
    if (!client.held || client.socket.bufferedAmount > LOW_BYTES) return;
    client.held = false;
    catchUp(client);
    if (client.owedWays) tellWays(client);
  }

  /** Sends what the page has not had yet, as far as it takes it. */
  function pump(client: Client): void {
    while (client.width !== null && !client.held && isOpen(client)) {
      if (client.wantsWelcome) {
        const welcome = feed.welcome(client.width);
        if (!offer(client, encode(welcome))) return;
        client.wantsWelcome = false;
        client.n = welcome.n;
      }
      if (client.n >= feed.newest()) return;
      const next = feed.message(client.n + 1);
      if (next === null) client.wantsWelcome = true;
      else if (offer(client, next)) client.n += 1;
      else return;
    }
  }

  function catchUp(client: Client): void {
    if (!feed.keepsAfter(client.n) || feed.bytesAfter(client.n) > CATCH_UP_BYTES) client.wantsWelcome = true;
    pump(client);
  }

  function answer(client: Client, id: string, refused: string | null): void {
    reply(client, { type: 'taken', id, refused });
  }

  function reply(client: Client, message: CollectorMessage): void {
    if (!isOpen(client)) return;
    if (client.socket.bufferedAmount > HOPELESS_BYTES) client.socket.terminate();
    else client.socket.send(encode(message), { binary: false }, () => drained(client));
  }

  function hear(client: Client, text: string): void {
    const read = readPageMessage(text);
    const within = spend(client, realNowMs());
    if (read.kind === 'old-page') client.socket.close(OLD_PAGE, OLD_PAGE_TEXT);
    else if (read.kind === 'unreadable') answer(client, read.id, within ? read.why : TOO_MANY_TEXT);
    else if (!within) answer(client, read.message.type === 'log' ? read.message.entry.id : '', TOO_MANY_TEXT);
    else obey(client, read.message);
  }

  function obey(client: Client, message: PageMessage): void {
    if (message.type === 'log') {
      void takeOnce(message.entry, client.where).then((refused) => answer(client, message.entry.id, refused));
    } else if (message.type === 'greet') {
      client.width = message.width;
      client.n = message.n;
      client.wantsWelcome = message.run !== feed.run;
      catchUp(client);
      if (!client.held) offer(client, encode(feed.beat()));
      tellWays(client);
    } else if (client.width === null && message.type !== 'shown') {
      answer(client, '', 'The first message of a page is its greeting.');
    } else if (isAboutWays(message)) {
      void hearAboutWays(ways ?? null, message, (answered) => reply(client, answered));
    } else if (message.type === 'check') {
      // A page that is held is sent nothing that it will ask for again anyway.
      if (!client.held || message.cable !== null) reply(client, { type: 'checked', ...check(message.cable) });
    } else {
      client.n = message.n;
      catchUp(client);
    }
  }

  /** The same id twice is taken once, also while the first is being written. Never rejects. */
  function takeOnce(entry: PageEntry, where: string): Promise<string | null> {
    const key = `${entry.log === 'undo' ? 'undo' : 'entry'} ${entry.id}`;
    const under = pending.get(key);
    if (under) return under;
    if (feed.hasEntry(entry.log, entry.id)) return Promise.resolve(null);
    const taking = Promise.resolve()
      .then(() => takeEntry(entry, where))
      .catch(
        (error: unknown) =>
          `The entry was not written down: ${error instanceof Error ? error.message : String(error)}. Send it again.`,
      )
      .finally(() => pending.delete(key));
    pending.set(key, taking);
    return taking;
  }

  const stop = feed.onNews((fresh) => {
    for (const client of clients) {
      if (fresh) client.wantsWelcome = true;
      pump(client);
    }
  });

  function tellWays(client: Client): void {
    if (ways === undefined || client.width === null) return;
    client.owedWays = client.held || !offer(client, encode(ways.message()));
  }

  const stopWays = ways?.onNews(() => {
    for (const client of clients) tellWays(client);
  });

  return {
    add(socket, where) {
      const client: Client = {
        socket,
        where,
        width: null,
        n: 0,
        wantsWelcome: true,
        held: false,
        owedWays: false,
        pings: 0,
        tokens: BURST_MESSAGES,
        tokensAt: realNowMs(),
      };
      clients.add(client);
      socket.on('close', () => clients.delete(client));
      // An overlong or broken frame: the library closes this page's socket and says why, and all others go on.
      socket.on('error', () => socket.close());
      socket.on('pong', () => {
        client.pings = 0;
      });
      socket.on('message', (data, isBinary) => {
        client.pings = 0;
        try {
          hear(client, isBinary ? '' : String(data));
        } catch {
          // A fault of ours over one page's message costs that page its connection, and no other.
          socket.close(INTERNAL_ERROR);
        }
      });
    },
    beat() {
      beats += 1;
      const text = encode(feed.beat());
      for (const client of clients) {
        // What a held page has been pinged it gets behind all that waits: its socket's own time-out watches over it.
        if (client.held) {
          client.pings = 0;
          drained(client);
        } else if (client.width !== null && !offer(client, text)) continue;
        else if (beats % PING_EVERY_BEATS === 0) ping(client);
      }
    },
    count: () => clients.size,
    close() {
      stop();
      stopWays?.();
      for (const { socket } of clients) socket.close(1001, 'The collector has been stopped.');
    },
    drop() {
      for (const { socket } of clients) socket.terminate();
    },
  };
}

function ping(client: Client): void {
  if (client.pings >= MAX_PINGS) client.socket.terminate();
  else if (isOpen(client)) client.socket.ping();
  client.pings += 1;
}

function isOpen({ socket }: Client): boolean {
  return socket.readyState === socket.OPEN;
}

/** Whether the page keeps within its rate; takes one of its tokens. */
function spend(client: Client, nowMs: number): boolean {
  const gained = ((nowMs - client.tokensAt) / 1000) * MESSAGES_PER_S;
  client.tokens = Math.min(BURST_MESSAGES, client.tokens + gained);
  client.tokensAt = nowMs;
  if (client.tokens < 1) return false;
  client.tokens -= 1;
  return true;
}

function encode(message: CollectorMessage): Buffer {
  return Buffer.from(JSON.stringify(message));
}
