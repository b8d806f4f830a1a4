/** A browser of this computer, without a window, that prints a page to a PDF. */
import { spawn } from 'node:child_process';
import { access, constants, mkdtemp, open, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { delimiter, join, resolve } from 'node:path';

const NAMES = [
  ...['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable'],
  ...['microsoft-edge', 'microsoft-edge-stable', 'msedge', 'chrome'],
];
const PLACES: Partial<Record<NodeJS.Platform, string[]>> = {
  darwin: [
    '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
    '/Applications/Chromium.app/Contents/MacOS/Chromium',
    '/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge',
  ],
  win32: [process.env.ProgramFiles, process.env['ProgramFiles(x86)'], process.env.LOCALAPPDATA].flatMap(
    (folder) =>
      folder === undefined
        ? []
        : [
            join(folder, 'Google', 'Chrome', 'Application', 'chrome.exe'),
            join(folder, 'Microsoft', 'Edge', 'Application', 'msedge.exe'),
          ],
  ),
};
/** A slow computer takes some seconds to start a browser; what takes longer than this hangs. */
const WITHIN_MS = 90_000;
/** The page may wait so long for what it fetches: the browser's own clock, which does not run while it fetches. */
const PAGE_MS = 15_000;
const PDF_BEGINS = '%PDF-';

const mayRun = (path: string) =>
  access(path, constants.X_OK).then(
    () => true,
    () => false,
  );

/** The path of a browser. Throws one sentence where there is none, or not where it was said to be. */
export async function findBrowser(given: string | undefined): Promise<string> {
  if (given !== undefined) {
    const path = resolve(given);
    if (await mayRun(path)) return path;
    throw new Error(`There is no browser at ${path}.`);
  }
  const ending = process.platform === 'win32' ? '.exe' : '';
  const folders = (process.env.PATH ?? '').split(delimiter).filter((folder) => folder !== '');
  const onPath = NAMES.flatMap((name) => folders.map((folder) => join(folder, `${name}${ending}`)));
  for (const path of [...onPath, ...(PLACES[process.platform] ?? [])]) if (await mayRun(path)) return path;
  throw new Error(
    "There is no Chromium, Chrome or Edge on this computer: open the firing's page, tap 'Print the sheet', and save it as PDF from there; or say with --browser where one is.",
  );
}

/** Prints the page at `url` as its own style sheet has it. Rejects with one sentence where no PDF came of it. */
export async function printToPdf(browser: string, url: string, path: string): Promise<void> {
  const profile = await mkdtemp(join(tmpdir(), 'spyhole-print-'));
  try {
    await rm(path, { force: true });
    await run(browser, [
      '--headless',
      '--disable-gpu',
      '--no-first-run',
      '--no-default-browser-check',
      '--disable-extensions',
      '--disable-sync',
      '--disable-background-networking',
      '--disable-component-update',
      `--user-data-dir=${profile}`,
      // The sandbox does not start for root; the page is our own.
      ...(process.getuid?.() === 0 ? ['--no-sandbox'] : []),
      '--no-pdf-header-footer',
      `--virtual-time-budget=${PAGE_MS}`,
      `--print-to-pdf=${path}`,
      url,
    ]);
    if (!(await isPdf(path))) throw new Error(`${browser} made no PDF of the sheet: print it from the page.`);
  } finally {
    await rm(profile, { recursive: true, force: true, maxRetries: 5 });
  }
}

function run(browser: string, args: string[]): Promise<void> {
  return new Promise((done, failed) => {
    const child = spawn(browser, args, { stdio: 'ignore', timeout: WITHIN_MS, killSignal: 'SIGKILL' });
    child.once('error', (cause) => failed(new Error(`${browser} cannot be started.`, { cause })));
    child.once('exit', (status, signal) => {
      if (signal === null && status === 0) done();
      else failed(new Error(`${browser} ended without a PDF (${signal ?? status}): print it from the page.`));
    });
  });
}

async function isPdf(path: string): Promise<boolean> {
  const file = await open(path).catch(() => null);
  if (file === null) return false;
  try {
    const { buffer } = await file.read(Buffer.alloc(PDF_BEGINS.length), 0, PDF_BEGINS.length, 0);
    return buffer.toString('latin1') === PDF_BEGINS;
  } finally {
    await file.close();
  }
}
