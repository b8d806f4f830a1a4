/** What is served over HTTP: the page's files, the firings as JSON, and a word on how the collector is. */
import { readFile } from 'node:fs/promises';
import type { IncomingMessage } from 'node:http';
import { join } from 'node:path';
import type { Readable } from 'node:stream';
import express, { type Express, type NextFunction, type Request, type Response, Router } from 'express';
import helmet from 'helmet';
import { z } from 'zod';
import type { Curve, FiringSummary, RecordedFiring } from '../../protocol/firing-record.ts';
import type { ExportOptions } from '../archive/export.ts';
import { alertHistory } from './alert-history.ts';
import type { CurveWindow } from './curve.ts';
import { type House, isKey, isOwnHost, keyCookie, refusalOf } from './doors.ts';
import { type FactsBook, factsAnswer } from './facts-book.ts';
import type { Feed } from './feed.ts';
import { addImportDoors, type ImportBook, isImportPath } from './import-doors.ts';
import { plain } from './plain-page.ts';
import { addResultsDoors, isResultsPath, type ResultsBook } from './results-doors.ts';
import { isTrustPath, TRUST_PATH, type Trust, trustSite } from './trust-site.ts';
import { addZipDoor } from './zip-door.ts';

/** Firings in the archive, by their folder's name. Null: there is none of this name. */
export interface PastFirings {
  list(): Promise<FiringSummary[]>;
  /** Whether more of them are being made. */
  making?(): boolean;
  view(id: string, window: CurveWindow): Promise<RecordedFiring | null>;
  curve(id: string, window: CurveWindow): Promise<Curve | null>;
  /** Their figures, and what came out of them; none where nothing is kept on a disk. */
  facts?: FactsBook;
  results?: ResultsBook;
  /** Firings from elsewhere are taken over; likewise. */
  imports?: ImportBook;
  /** A firing as a zip, to take away; likewise. Rejects where it has no readings.csv. */
  zip?(id: string, options: ExportOptions): Promise<Readable>;
}

/** Whatever is sent beside a file to be taken over comes within this, or not at all. */
const BODY_WITHIN_MS = 10_000;

export interface SiteKiln {
  /** Null: the only one. */
  name: string | null;
  /** Where its page is, with a slash at the end. */
  path: string;
  feed: Feed;
  firings: PastFirings;
  /** How many pages are connected. */
  pages(): number;
}

export interface SiteParts {
  kilns: readonly SiteKiln[];
  /** Holds index.html and the files that it names. */
  staticFolder: string;
  /** As it stands at this request: the machine's addresses may change. */
  house(): House;
  now(): number;
  /** What phones are to trust, where the page is served over HTTPS with a certificate of its own making. */
  trust: Trust | null;
  /** Told of what went wrong here, in a sentence. */
  onTrouble(text: string): void;
}

/** Where a kiln's page is, with a slash at the end: names in it are then within it. */
export function kilnPath(name: string | null): string {
  return name === null ? '/' : `/kiln/${name}/`;
}

/** Browsers keep a cookie for 400 days at most. */
const COOKIE_MS = 400 * 86_400_000;
/** The builder puts a hash of the contents in the name. */
const HASHED = /-[A-Z0-9]{8}\.\w+$/;
/** What a home screen shows: phones fetch it without the key, and it says nothing. */
const ICON = /^\/(kiln\/[^/]+\/)?(icon|icon192|icon512|maskable|touch)-[A-Z0-9]{8}\.(png|svg)$/;
const FOLDER_NAME = /^[^./\\:\p{Cc}][^/\\:\p{Cc}]*$/u;

const windowSchema = z.object({
  width: z.coerce.number().int().min(100).max(10_000).default(1000),
  from: z.coerce.number().int().optional(),
  to: z.coerce.number().int().optional(),
});

export function buildSite(parts: SiteParts): Express {
  const app = express();
  app.disable('x-powered-by');
  app.set('query parser', 'simple');
  app.use(securityHeaders());
  app.use(doors(parts));

  app.get('/healthz', (_request, response) => {
    const kilns = parts.kilns.map(({ name, feed, pages }) => {
      const { lastReadingAt, links } = feed.beat();
      return { kiln: name, lastReadingAt, links, pages: pages() };
    });
    const [only] = kilns;
    const { kiln: _, ...flat } = only ?? { kiln: null };
    noStore(response).json({
      ok: true,
      now: Math.round(parts.now()),
      ...(kilns.length === 1 ? flat : { kilns }),
    });
  });
  if (parts.trust) app.use(TRUST_PATH, trustSite(parts.trust, parts.house));
  for (const kiln of parts.kilns) {
    if (kiln.path !== '/') app.get(kiln.path.slice(0, -1), toItsFolder);
    app.use(kiln.path, kilnSite(kiln, parts.staticFolder));
  }
  if (parts.kilns.length > 1) {
    app.get('/', (_request, response) => {
      noStore(response).type('html').send(choicePage(parts.kilns));
    });
    // The worker of all kilns' pages, which fetches what they share from beside itself.
    app.use(pageFiles(parts.staticFolder));
  }
  app.use((_request, response) => {
    plain(response, 404, 'There is nothing at this address.');
  });
  app.use((error: unknown, _request: Request, response: Response, next: NextFunction) => {
    // A path that cannot be decoded and the like: the client's own doing.
    const status = z.object({ status: z.number().int().min(400).max(499) }).safeParse(error);
    if (!status.success)
      parts.onTrouble(`A page's request failed: ${error instanceof Error ? error.message : error}`);
    if (response.headersSent) next(error);
    else if (status.success) plain(response, status.data.status, 'The address cannot be read.');
    else plain(response, 500, 'This could not be read from the archive: see what the collector says.');
  });
  return app;
}

/** The page of one kiln, and its firings as JSON. */
function kilnSite({ name, feed, firings }: SiteKiln, staticFolder: string): Router {
  const site = Router();
  site.get('/api/firings', async (_request, response) => {
    const past = (await firings.list()).filter(({ id }) => id !== feed.firingId);
    const all = [feed.summary(), ...past].sort(
      (a, b) => (b.startedAt ?? Infinity) - (a.startedAt ?? Infinity),
    );
    noStore(response).json({ firings: all, ...(firings.making?.() ? { making: true } : {}) });
  });
  site.get('/api/firings/:id', (request, response) =>
    answerFiring(request, response, (id, window) =>
      id === feed.firingId ? feed.view(window) : firings.view(id, window),
    ),
  );
  site.get('/api/firings/:id/curve', (request, response) =>
    answerFiring(request, response, (id, window) =>
      id === feed.firingId ? feed.curve(window) : firings.curve(id, window),
    ),
  );
  site.get('/api/firings/:id/alerts', (request, response) =>
    answerFiring(request, response, async (id, window) => {
      const recorded = await (id === feed.firingId ? feed.view(window) : firings.view(id, window));
      return recorded && alertHistory(recorded);
    }),
  );
  site.get('/api/firings/:id/facts', (request, response) =>
    answerFiring(request, response, (id) => factsAnswer(id, feed, firings)),
  );
  const knows = async (id: string) =>
    FOLDER_NAME.test(id) && (await firings.list()).some((firing) => firing.id === id);
  if (firings.results) addResultsDoors(site, firings.results, knows);
  if (firings.imports) addImportDoors(site, firings.imports);
  if (firings.zip) addZipDoor(site, firings.zip, knows);
  site.get('/manifest.webmanifest', manifestOf(name, staticFolder));
  site.use(pageFiles(staticFolder));
  return site;
}

function pageFiles(staticFolder: string) {
  return express.static(staticFolder, {
    setHeaders: (response, path) => {
      const hashed = HASHED.test(path);
      response.setHeader('Cache-Control', hashed ? 'max-age=31536000, immutable' : 'no-cache');
    },
  });
}

/** What a phone installs the page by: each of several kilns under its own name. */
function manifestOf(name: string | null, staticFolder: string) {
  return async (_request: Request, response: Response, next: NextFunction) => {
    if (name === null) return next();
    const text = await readFile(join(staticFolder, 'manifest.webmanifest'), 'utf8');
    const called = { name: `Spyhole, kiln ${name}`, short_name: `Kiln ${name}` };
    response
      .setHeader('Cache-Control', 'no-cache')
      .type('application/manifest+json')
      .send(JSON.stringify({ ...JSON.parse(text), ...called }));
  };
}

/** `/kiln/back` is taken for `/kiln/back/`. */
function toItsFolder(request: Request, response: Response, next: NextFunction): void {
  if (request.path.endsWith('/')) next();
  else noStore(response).redirect(303, `${request.path}/`);
}

function choicePage(kilns: readonly SiteKiln[]): string {
  const links = kilns.map(({ name, path }) => `<li><a href="${path}">${name}</a></li>`);
  return `<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1"><title>Spyhole</title><h1>Which kiln?</h1><ul>${links.join('')}</ul></html>\n`;
}

function securityHeaders() {
  return helmet({
    contentSecurityPolicy: {
      useDefaults: false,
      directives: {
        defaultSrc: ["'none'"],
        scriptSrc: ["'self'"],
        styleSrc: ["'self'"],
        imgSrc: ["'self'", 'data:'],
        fontSrc: ["'self'"],
        manifestSrc: ["'self'"],
        workerSrc: ["'self'"],
        // Not every browser takes 'self' to mean the WebSocket as well.
        connectSrc: ["'self'", socketForPolicy],
        baseUri: ["'none'"],
        formAction: ["'none'"],
        frameAncestors: ["'none'"],
      },
    },
    xFrameOptions: { action: 'deny' },
    // These speak of HTTPS, and browsers complain of them in a page that comes without it.
    strictTransportSecurity: false,
    crossOriginOpenerPolicy: false,
    originAgentCluster: false,
  });
}

/** The page's own WebSocket: where the page came over TLS, so does it. */
function socketForPolicy(request: IncomingMessage): string {
  const scheme = 'encrypted' in request.socket ? 'wss' : 'ws';
  return `${scheme}://${hostForPolicy(request.headers.host)}`;
}

/** A host that could break out of the header is refused later on; here it is only kept out of the policy. */
function hostForPolicy(host: string | undefined): string {
  return /^[\w.:[\]-]+$/.test(host ?? '') ? (host ?? '') : 'localhost';
}

function doors(parts: SiteParts) {
  return (request: Request, response: Response, next: NextFunction) => {
    const house = parts.house();
    const reading = request.method === 'GET' || request.method === 'HEAD';
    const { key } = request.query;
    if (reading && typeof key === 'string' && isOwnHost(request.headers.host, house)) {
      // The scanned link: the key goes into a cookie, and out of the address and the history.
      if (isKey(key, house.pairingKey))
        response.cookie(keyCookie(house), key, {
          httpOnly: true,
          secure: house.secure,
          sameSite: 'strict',
          path: '/',
          maxAge: COOKIE_MS,
        });
      else if (house.lan)
        return plain(response, 403, 'This code is an old one: scan the one that the collector prints now.');
      const known = request.path === TRUST_PATH || parts.kilns.some(({ path }) => path === request.path);
      return noStore(response).redirect(303, known ? request.path : '/');
    }
    // What is to be trusted may be seen by whoever is in the network: it is public, and a phone has no key here yet.
    const toTrust = reading && parts.trust !== null && isTrustPath(request.path);
    const open = toTrust || (reading && ICON.test(request.path));
    if (open && isOwnHost(request.headers.host, house)) return next();
    const refusal = refusalOf(request.headers, house, !reading);
    if (refusal) return plain(response, refusal.status, refusal.text);
    const bringsFile = request.method === 'POST' && isImportPath(request.path);
    if (!bringsFile) bodySoon(request);
    if (!reading && !bringsFile && !(request.method === 'PUT' && isResultsPath(request.path)))
      return plain(response.setHeader('Allow', 'GET, HEAD'), 405, 'Nothing here is changed in this way.');
    next();
  };
}

/** A body that trickles in would hold its connection for as long as a large file may take. */
function bodySoon(request: Request): void {
  const { 'content-length': length, 'transfer-encoding': parts } = request.headers;
  if (length === undefined && parts === undefined) return;
  const late = setTimeout(() => {
    if (!request.complete) request.destroy();
  }, BODY_WITHIN_MS);
  request.once('close', () => clearTimeout(late));
}

async function answerFiring(
  request: Request,
  response: Response,
  find: (id: string, window: CurveWindow) => unknown,
): Promise<void> {
  const { id } = request.params;
  const window = windowSchema.safeParse(request.query);
  if (!window.success)
    return plain(response, 400, 'The width must be 100 to 10000, and from and to whole milliseconds.');
  const { from, to } = window.data;
  if (from !== undefined && to !== undefined && from >= to)
    return plain(response, 400, 'The curve must begin before it ends.');
  const found = typeof id === 'string' && FOLDER_NAME.test(id) ? await find(id, window.data) : null;
  if (found === null) return plain(response, 404, 'There is no firing of this name.');
  noStore(response).json(found);
}

function noStore(response: Response): Response {
  return response.setHeader('Cache-Control', 'no-store');
}
