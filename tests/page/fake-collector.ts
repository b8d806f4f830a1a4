/**
 * A stand-in for the collector: serves the built page under the strict policy that the real one sends, plays a record
 * over the WebSocket, and answers a page's messages. Everything that it sends is checked against the contract.
 */

import { readFile } from 'node:fs/promises';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { extname, join, normalize } from 'node:path';
import { type WebSocket, WebSocketServer } from 'ws';
import { alertHistory } from '../../collector/server/alert-history.ts';
import type { BoardFacts } from '../../protocol/board-facts.ts';
import { type FiringFactsAnswer, firingFactsAnswerSchema } from '../../protocol/firing-facts.ts';
import type { RecordedFiring } from '../../protocol/firing-record.ts';
import {
  type CollectorMessage,
  collectorMessageSchema,
  LIVE_PATH,
  LIVE_VERSION,
  type NumberedMessage,
  type PageMessage,
  pageMessageSchema,
  type WelcomeMessage,
} from '../../protocol/live-messages.ts';
import type { ResultRow } from '../../protocol/results.ts';
import type { WaysMessage } from '../../protocol/ways.ts';
import { answerOf } from './learn-story.ts';

const POLICY =
  "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self'; manifest-src 'self'; connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";
const TYPES: Record<string, string> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.woff2': 'font/woff2',
  '.png': 'image/png',
  '.webmanifest': 'application/manifest+json',
};

/** A numbered message before it has its number. */
export type News = NumberedMessage extends infer M
  ? M extends NumberedMessage
    ? Omit<M, 'n'>
    : never
  : never;

export interface FakeOptions {
  pageFolder: string;
  record: RecordedFiring;
  /** Firing time when it starts, epoch ms. */
  now: number;
  rate?: number;
  source?: WelcomeMessage['source'];
  last?: WelcomeMessage['last'];
  links?: WelcomeMessage['links'];
  past?: RecordedFiring[];
  /** The figures of firings, by id. */
  facts?: Record<string, FiringFactsAnswer>;
  /** How the ways stand: told to each page that greets. */
  ways?: WaysMessage;
  /** What came out of every firing. */
  results?: ResultRow[];
  /** How the boards stand, when a page asks. */
  boards?: BoardFacts[];
}

export interface FakeCollector {
  url: string;
  /** What the pages have said so far. */
  heard: PageMessage[];
  /** Sends a message of the record to every page, numbered. */
  tell(news: News): void;
  /** Numbers a message and keeps it from the pages: a gap. */
  lose(news: News): void;
  /** Firing time now. */
  now(): number;
  /** Time of the newest reading, for the beat. */
  lastReadingAt: number | null;
  /** Whether it says anything; a mute collector holds its sockets open. */
  mute: boolean;
  /** Refuses the next entries with this sentence. */
  refuse: string | null;
  /** Closes every page's socket. */
  hangUp(code?: number): void;
  /** Takes new sockets or not. */
  open: boolean;
  pages(): number;
  close(): Promise<void>;
}

export async function startFakeCollector(options: FakeOptions): Promise<FakeCollector> {
  const { record, pageFolder, rate = 1 } = options;
  const startedAt = performance.now();
  const kept: NumberedMessage[] = [];
  let n = 0;
  let entries = record.log.length;
  const rowOf = new Map(record.log.map((row) => [row.id, row.entry]));

  const server = createServer((request, response) => {
    void serve(request.url ?? '/').then(({ status, type, body }) => {
      response.writeHead(status, {
        'content-type': type,
        'content-security-policy': POLICY,
        'cache-control': 'no-store',
      });
      response.end(body);
    });
  });
  async function serve(url: string): Promise<{ status: number; type: string; body: string | Buffer }> {
    const { pathname } = new URL(url, 'http://localhost');
    const json = (what: unknown) => ({ status: 200, type: 'application/json', body: JSON.stringify(what) });
    const all = [record, ...(options.past ?? [])];
    if (pathname === '/api/firings') return json({ firings: all.map(({ firing }) => firing) });
    if (/^\/api\/firings\/[^/]+\/results$/.test(pathname))
      return json({ revision: '', rows: options.results ?? [] });
    const [, factsOf] = /^\/api\/firings\/([^/]+)\/facts$/.exec(pathname) ?? [];
    const factsId = decodeURIComponent(factsOf ?? '');
    const isKept = all.some(({ firing }) => firing.id === factsId);
    // Whoever does not care what they are has some.
    const facts = options.facts ? options.facts[factsId] : isKept ? answerOf({ toSaltingH: 14 }) : undefined;
    if (facts) return json(firingFactsAnswerSchema.parse(facts));
    const [, id, part] = /^\/api\/firings\/([^/]+)(\/curve|\/alerts)?$/.exec(pathname) ?? [];
    const asked = all.find(({ firing }) => firing.id === decodeURIComponent(id ?? ''));
    if (asked && part === '/alerts') return json(alertHistory(asked));
    if (asked) return json(part ? asked.curve : asked);
    const name = pathname === '/' ? 'index.html' : normalize(pathname).replace(/^\/+/, '');
    try {
      const body = await readFile(join(pageFolder, name));
      return { status: 200, type: TYPES[extname(name)] ?? 'application/octet-stream', body };
    } catch {
      return { status: 404, type: 'text/plain', body: 'not here' };
    }
  }

  const sockets = new WebSocketServer({ noServer: true });
  server.on('upgrade', (request, socket, head) => {
    if (request.url !== LIVE_PATH || !fake.open) {
      socket.destroy();
      return;
    }
    sockets.handleUpgrade(request, socket, head, (page) => {
      page.on('message', (data) => hear(page, String(data)));
    });
  });

  const say = (page: WebSocket, message: CollectorMessage) => {
    if (fake.mute) return;
    page.send(JSON.stringify(collectorMessageSchema.parse(message)));
  };
  const number = (news: News): NumberedMessage => {
    n += 1;
    const message = { ...news, n } as NumberedMessage;
    kept.push(message);
    if (message.type === 'reading') fake.lastReadingAt = message.at;
    return message;
  };

  function welcome(): WelcomeMessage {
    return {
      type: 'welcome',
      version: LIVE_VERSION,
      run: 'run-1',
      n,
      now: Math.round(fake.now()),
      clockRate: rate,
      source: options.source ?? 'board',
      ...record,
      last: options.last ?? { reading: null, forecast: null },
      links: links(),
    };
  }

  function links(): WelcomeMessage['links'] {
    return options.links ?? [{ link: 'kiln', state: 'open', text: '', badLines: 0 }];
  }

  function beat(): CollectorMessage {
    return {
      type: 'beat',
      n,
      now: Math.round(fake.now()),
      lastReadingAt: fake.lastReadingAt,
      links: links(),
    };
  }

  function hear(page: WebSocket, text: string): void {
    const message = pageMessageSchema.parse(JSON.parse(text));
    fake.heard.push(message);
    if (message.type === 'greet') {
      if (message.run !== 'run-1') say(page, welcome());
      else for (const missed of kept.filter((one) => one.n > message.n)) say(page, missed);
      say(page, beat());
      if (options.ways) say(page, options.ways);
    } else if (message.type === 'test') {
      const { id, way } = message;
      say(page, { type: 'tested', id, way, reached: way === 'lamp', text: `It was the ${way}.` });
    } else if (message.type === 'push' || message.type === 'shown') {
      say(page, { type: 'taken', id: message.id, refused: null });
    } else if (message.type === 'since') {
      for (const missed of kept.filter((one) => one.n > message.n)) say(page, missed);
    } else if (message.type === 'check') {
      say(page, { type: 'checked', boards: options.boards ?? [], refused: null });
    } else if (message.type === 'log') take(page, message.entry);
  }

  function take(page: WebSocket, entry: Extract<PageMessage, { type: 'log' }>['entry']): void {
    const { id, log } = entry;
    say(page, { type: 'taken', id, refused: fake.refuse });
    if (fake.refuse !== null) return;
    const at = typeof entry.at === 'string' ? Date.parse(entry.at) : Math.round(fake.now());
    const who = typeof entry.who === 'string' ? entry.who : '';
    const logged = {
      entry: entries,
      id,
      at,
      madeAt: Math.round(fake.now()),
      who,
      where: typeof entry.where === 'string' ? entry.where : 'page',
      log,
      json: entry,
      undone: false,
      replaces: typeof entry.mends === 'string' ? (rowOf.get(entry.mends) ?? null) : null,
    };
    rowOf.set(id, entries);
    entries += 1;
    fake.tell({ type: 'log', logged });
  }

  const beats = setInterval(() => {
    for (const page of sockets.clients) say(page, beat());
  }, 1000);

  const fake: FakeCollector = {
    url: '',
    heard: [],
    lastReadingAt: options.last?.reading?.at ?? null,
    mute: false,
    refuse: null,
    open: true,
    now: () => options.now + (performance.now() - startedAt) * rate,
    tell(news) {
      const message = number(news);
      for (const page of sockets.clients) say(page, message);
    },
    lose: (news) => void number(news),
    hangUp(code = 1001) {
      for (const page of sockets.clients) page.close(code);
    },
    pages: () => sockets.clients.size,
    async close() {
      clearInterval(beats);
      for (const page of sockets.clients) page.terminate();
      await new Promise((done) => server.close(done));
    },
  };
  await new Promise<void>((done) => server.listen(0, '127.0.0.1', done));
  fake.url = `http://127.0.0.1:${(server.address() as AddressInfo).port}/`;
  return fake;
}
