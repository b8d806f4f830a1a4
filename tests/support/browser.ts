/** A real headless Chromium, as installed by the system. */
import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { type Browser, chromium } from 'playwright-core';
import { build } from '../../collector/set-up.mjs';

const PATH = process.env.CHROMIUM ?? '/usr/bin/chromium';

export function hasChromium(): boolean {
  return existsSync(PATH);
}

/** `more`: further switches of Chromium. */
export function openBrowser(more: readonly string[] = []): Promise<Browser> {
  return chromium.launch({
    executablePath: PATH,
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
      ...more,
    ],
  });
}

/** The folder of the page as `npm start` serves it: built once for all tests, and again when a source has changed. */
export async function builtPage(): Promise<string> {
  return fileURLToPath(new URL('../page', await build()));
}
