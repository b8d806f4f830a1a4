/** The page with one firing, for a browser on this computer and for as long as it takes to print. */
import { randomBytes } from 'node:crypto';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { basename, dirname } from 'node:path';
import express from 'express';
import { createPastFirings } from '../server/past-firings.ts';
import { PAGE_FOLDER } from './page-folder.ts';

export interface ServedPage {
  /** With a slash at the end. */
  url: string;
  /** Whether somebody has fetched the firing. */
  wasAsked(): boolean;
  close(): Promise<void>;
}

const widthOf = (width: unknown) => Math.min(10_000, Math.max(100, Number(width) || 1000));

/**
 * Serves on 127.0.0.1 alone, below a path that nobody can guess: whatever else runs or is open in a browser here does not
 * find it. Rejects with the system's error.
 */
export async function servePage(folder: string): Promise<ServedPage> {
  const [id, secret] = [basename(folder), randomBytes(16).toString('hex')];
  const say = (text: string) => process.stderr.write(`${text}\n`);
  const firings = createPastFirings(dirname(folder), say);
  let asked = false;
  const app = express();
  const page = express.Router();
  page.get('/api/firings/:id', async (request, response) => {
    const view =
      request.params.id === id ? await firings.view(id, { width: widthOf(request.query.width) }) : null;
    asked ||= view !== null;
    response.status(view === null ? 404 : 200).json(view);
  });
  page.get('/api/firings/:id/results', async (_request, response) => {
    response.json(await firings.results?.read(id).catch(() => ({ text: 'The results cannot be read.' })));
  });
  page.use(express.static(PAGE_FOLDER));
  app.use(`/${secret}`, page);
  const server = createServer(app);
  await new Promise<void>((listening, failed) => {
    server.once('error', failed);
    server.listen(0, '127.0.0.1', listening);
  });
  return {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}/${secret}/`,
    wasAsked: () => asked,
    close: () =>
      new Promise((closed) => {
        server.close(() => closed());
        server.closeAllConnections();
      }),
  };
}
