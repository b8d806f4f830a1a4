/** A server with an invented firing, and ways to talk to it as a page, a tool or a stranger would. */
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { type IncomingHttpHeaders, type OutgoingHttpHeaders, request } from 'node:http';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import { WebSocket } from 'ws';
import type { Clock } from '../../collector/clock.ts';
import type { AlertOutput, ReadingFlag, ReadingOutput } from '../../collector/core/inputs.ts';
import { createFeed, type Feed } from '../../collector/server/feed.ts';
import {
  type RunningServer,
  type ServedKiln,
  type ServerOptions,
  startServer,
} from '../../collector/server/server.ts';
import type { Hello } from '../../protocol/board-lines.ts';
import type { LoggedEntry } from '../../protocol/firing-record.ts';
import { type CollectorMessage, collectorMessageSchema, LIVE_VERSION } from '../../protocol/live-messages.ts';
import { defaultPlan } from '../../protocol/plan.ts';
import type { Stage } from '../../protocol/stages.ts';

/** 2031-03-08T05:00:00Z, the start of every firing here. */
export const START = Date.UTC(2031, 2, 8, 5);
export const KEY = 'draw-ring-key-0001';

export const HELLO: Hello = {
  board: 'shed-1',
  boot: '9F00C2A1',
  periodMs: 1000,
  keeps: 3600,
  probes: [
    { name: 'low', couple: 'K', form: { kind: 'uv' } },
    { name: 'high', couple: 'S', form: { kind: 'uv' } },
  ],
};

export function testClock(): Clock & { set(at: number): void } {
  let at = START;
  return {
    rate: 1,
    now: () => at,
    after: () => () => undefined,
    skip: (ms) => {
      at += ms;
    },
    set: (time) => {
      at = time;
    },
  };
}

interface ReadingParts {
  board?: string;
  stage?: Stage;
  late?: boolean;
  kilnC?: number | null;
  flags?: ReadingFlag[];
}

let seq = 0;

/** One reading as the core puts it out, `second` seconds after the start. */
export function readingOf(
  second: number,
  temps: Record<string, number | null>,
  parts: ReadingParts = {},
): ReadingOutput {
  const { board = 'shed-1', stage = 'climbing', late = false, kilnC = null, flags = [] } = parts;
  const rows = Object.entries(temps).map(([probe, tempC]) => ({
    probe,
    raw: tempC,
    tempC,
    smoothC: tempC,
    climbCPerH: 40,
    climbSdCPerH: 5,
    cone: null,
    fault: null,
    coneShift: null,
    note: null,
    flags,
  }));
  const values = rows.map(({ probe, raw }) => ({ probe, raw }));
  seq += 1;
  const at = START + second * 1000;
  const input = { board, boot: '9F00C2A1', seq, uptimeMs: second * 1000, coldJunctionC: 20 };
  return {
    kind: 'reading',
    input: { kind: 'reading', at, ...input, values, late },
    stage,
    rows,
    kiln: { smoothC: kilnC, climbCPerH: kilnC === null ? null : 40, climbSdCPerH: kilnC === null ? null : 5 },
  };
}

export function alertOf(second: number, state: AlertOutput['state'], name: AlertOutput['name']): AlertOutput {
  const at = START + second * 1000;
  return { kind: 'alert', at, name, state, probe: null, priority: 'look-soon', text: `${name} ${state}.` };
}

let rows = 0;

export function loggedOf(second: number, log: string, json: Record<string, unknown> = {}): LoggedEntry {
  rows += 1;
  const at = START + second * 1000;
  const id = typeof json.id === 'string' ? json.id : `row-${rows}`;
  return {
    entry: rows,
    id,
    at,
    madeAt: at,
    who: 'Mira',
    where: 'page',
    log,
    json: { log, ...json },
    undone: false,
  };
}

export function testFeed(clock = testClock()): Feed {
  const firing = { id: '2031-03-08-spring', name: 'spring', startedAt: START };
  const feed = createFeed({ run: 'run-1', clock, source: 'board', firing, plan: defaultPlan() });
  feed.noteHello(START, HELLO);
  feed.onNews(() => undefined);
  return feed;
}

export interface TestServer extends RunningServer {
  feed: Feed;
  clock: ReturnType<typeof testClock>;
  troubles: string[];
}

/** Starts a server on a free port with a page of three files; it is closed when the test ends. */
export async function serve(options: Partial<ServerOptions & ServedKiln> = {}): Promise<TestServer> {
  const folder = mkdtempSync(join(tmpdir(), 'spyhole-site-'));
  const staticFolder = join(folder, 'page');
  mkdirSync(staticFolder);
  writeFileSync(join(folder, 'secret.txt'), 'not for the page');
  writeFileSync(join(staticFolder, 'index.html'), '<!doctype html><title>Spyhole</title>');
  writeFileSync(join(staticFolder, 'main-AB12CD34.js'), 'export {};');
  writeFileSync(join(staticFolder, 'words-latin-normal.woff2'), 'wOF2');
  const clock = testClock();
  const feed = options.feed ?? testFeed(clock);
  const troubles: string[] = [];
  const server = await startServer({
    kilns: [
      {
        name: null,
        feed,
        firings: { list: async () => [], view: async () => null, curve: async () => null },
        onLog: async () => null,
        ...options,
      },
    ],
    clock,
    staticFolder,
    port: 0,
    portAsked: false,
    lan: false,
    pairingKey: KEY,
    onTrouble: (text) => troubles.push(text),
    ...options,
  });
  onTestFinished(async () => {
    await server.close();
    rmSync(folder, { recursive: true, force: true });
  });
  return { ...server, feed, clock, troubles };
}

export interface Answer {
  status: number;
  headers: IncomingHttpHeaders;
  text: string;
}

/** One request with the path and the headers exactly as given; the host is the right one unless told. */
export function ask(
  port: number,
  path: string,
  headers: OutgoingHttpHeaders = {},
  method = 'GET',
): Promise<Answer> {
  return new Promise((resolve, reject) => {
    const asked = request({ host: '127.0.0.1', port, path, method, headers, agent: false }, (response) => {
      const parts: Buffer[] = [];
      response.on('data', (part: Buffer) => parts.push(part));
      response.on('end', () => {
        const text = Buffer.concat(parts).toString();
        resolve({ status: response.statusCode ?? 0, headers: response.headers, text });
      });
    });
    asked.on('error', reject);
    asked.end();
  });
}

/** A page's socket: every message is checked against the protocol as it comes. */
export interface Page {
  socket: WebSocket;
  messages: CollectorMessage[];
  /** The first message from here on that fits; each is handed out once. */
  next<Type extends CollectorMessage['type']>(type: Type): Promise<Extract<CollectorMessage, { type: Type }>>;
  say(message: unknown): void;
  /** Code and reason once it is closed. */
  closed: Promise<{ code: number; reason: string }>;
}

/** Listens to a socket that is opening or open. */
export function pageOn(socket: WebSocket): Page {
  const messages: CollectorMessage[] = [];
  const waiting: { type: string; give(message: CollectorMessage): void }[] = [];
  const unread: CollectorMessage[] = [];
  socket.on('message', (data) => {
    const message = collectorMessageSchema.parse(JSON.parse(String(data)));
    messages.push(message);
    const index = waiting.findIndex(({ type }) => type === message.type);
    if (index < 0) unread.push(message);
    else waiting.splice(index, 1)[0]?.give(message);
  });
  socket.on('error', () => undefined);
  const closed = new Promise<{ code: number; reason: string }>((resolve) => {
    socket.on('close', (code, reason) => resolve({ code, reason: String(reason) }));
  });
  const next = (type: string) => {
    const index = unread.findIndex((message) => message.type === type);
    const [there] = index < 0 ? [] : unread.splice(index, 1);
    if (there) return Promise.resolve(there);
    return new Promise<CollectorMessage>((give) => waiting.push({ type, give }));
  };
  return {
    socket,
    messages,
    next: next as Page['next'],
    say: (message) => socket.send(typeof message === 'string' ? message : JSON.stringify(message)),
    closed,
  };
}

export const GREETING = { type: 'greet', version: LIVE_VERSION, run: null, n: 0, width: 400 };

/** Opens a page's socket; rejects with the status and text if it is turned away. */
export async function openPage(
  port: number,
  headers: Record<string, string> = { Origin: `http://127.0.0.1:${port}` },
  path = '/live',
): Promise<Page> {
  const socket = new WebSocket(`ws://127.0.0.1:${port}${path}`, { headers });
  const page = pageOn(socket);
  onTestFinished(() => socket.terminate());
  await new Promise<void>((resolve, reject) => {
    socket.on('open', resolve);
    socket.on('error', reject);
    socket.on('unexpected-response', (_request, response) => {
      const parts: Buffer[] = [];
      response.on('data', (part: Buffer) => parts.push(part));
      response.on('end', () => reject(new Error(`${response.statusCode} ${Buffer.concat(parts)}`)));
    });
  });
  return page;
}

/** Opens a page's socket and greets as a page that has nothing yet. */
export async function openAndGreet(port: number) {
  const page = await openPage(port);
  page.say(GREETING);
  const welcome = await page.next('welcome');
  return { page, welcome };
}
