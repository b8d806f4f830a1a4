/** A real headless Chromium, as installed by the system. */
import { existsSync } from 'node:fs';
import { type Browser, chromium } from 'playwright-core';

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
