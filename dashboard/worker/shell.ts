/**
 * The page's shell, kept by its worker so that the page opens while the collector is not reached. Nothing else is kept:
 * what the collector says is never answered from here as if it were now.
 */

import type { Language } from '../words/language.ts';

export interface Shell {
  /** A digest of the whole of it. */
  version: string;
  /** `index.html` and the files that it names, all of which have their digest in their name. */
  files: readonly string[];
  /** Files of a page in one language: kept where the browser asks for that, and from their first use on. */
  spoken: Readonly<Record<Language, readonly string[]>>;
}

interface ShellHands {
  caches: CacheStorage;
  /** Asks the collector. */
  fetch(): Promise<Response>;
  after(ms: number): Promise<void>;
}

const OWN = 'spyhole-shell-';
/** The page of the only kiln, that of one of several, or the choice between them. */
const PAGE_PATH = /^\/(kiln\/[^/]+\/)?(index\.html)?$/;
/** A collector that sleeps refuses nothing and answers nothing: after so long the kept page is shown. */
const ANSWERS_WITHIN_MS = 4000;

/** Fetches the whole shell. Rejects if any of it cannot be had: then the old one stays. */
export async function keepShell(
  { version, files, spoken }: Shell,
  language: Language,
  caches: CacheStorage,
): Promise<void> {
  const cache = await caches.open(OWN + version);
  // `/`: the choice between kilns, or once more the only kiln's page.
  const paths = ['/', ...[...files, ...spoken[language]].map((name) => `/${name}`)];
  await cache.addAll(paths.map((path) => new Request(path, { cache: 'no-cache' })));
}

/** Throws away the shells of other builds. */
export async function dropOldShells({ version }: Shell, caches: CacheStorage): Promise<void> {
  const old = (await caches.keys()).filter((name) => name.startsWith(OWN) && name !== OWN + version);
  await Promise.all(old.map((name) => caches.delete(name)));
}

/** What is answered to a request of a page; null: the browser is to ask the collector itself. */
export function answerTo(
  request: Pick<Request, 'method' | 'mode' | 'url'>,
  origin: string,
  shell: Shell,
  hands: ShellHands,
): Promise<Response> | null {
  const url = new URL(request.url);
  if (request.method !== 'GET' || url.origin !== origin) return null;
  const kept = async (path: string) => {
    const cache = await hands.caches.open(OWN + shell.version);
    return (await cache.match(path)) ?? null;
  };
  if (request.mode === 'navigate')
    return PAGE_PATH.test(url.pathname)
      ? pageNow(hands, () => kept(url.pathname === '/' ? '/' : '/index.html'))
      : null;
  const name = url.pathname.slice(url.pathname.lastIndexOf('/') + 1);
  const isSpoken = Object.values(shell.spoken).flat().includes(name);
  if (name === 'index.html' || !(isSpoken || shell.files.includes(name))) return null;
  // The same file under each kiln's path: its name says what is in it.
  return kept(`/${name}`).then(async (found) => {
    if (found) return found;
    const fetched = await hands.fetch();
    if (isSpoken && fetched.ok)
      await (await hands.caches.open(OWN + shell.version)).put(`/${name}`, fetched.clone());
    return fetched;
  });
}

/** The collector's own page while it answers, so that a new build is never hidden behind an old one. */
async function pageNow(hands: ShellHands, kept: () => Promise<Response | null>): Promise<Response> {
  const asked = hands.fetch();
  const fresh = await Promise.race([
    asked.catch(() => null),
    hands.after(ANSWERS_WITHIN_MS).then(() => null),
  ]);
  return fresh ?? (await kept()) ?? asked;
}
