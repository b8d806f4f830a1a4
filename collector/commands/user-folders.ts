/** Where the user's own things lie, as the system has it. */
import { randomBytes } from 'node:crypto';
import { readFile, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import envPaths from 'env-paths';
import { makeFolders } from '../archive/make-folders.ts';
import { errorCode } from '../error-code.ts';

const paths = envPaths('spyhole', { suffix: '' });

/** Firings, unless `--data` says otherwise. */
export function userDataFolder(): string {
  return paths.data;
}

/** The library for Bluetooth low energy: it can be fetched again at any time. */
export function bluetoothFolder(): string {
  return join(paths.cache, 'bluetooth');
}

/** How an alert reaches a person beyond the page: the user's own settings. */
export function waysFile(): string {
  return join(paths.config, 'ways.json');
}

/** Push keys, and the phones that have asked for push. */
export function pushFile(): string {
  return join(paths.config, 'push.json');
}

/** The local authority, and the certificate of the page. */
export function httpsFolder(): string {
  return join(paths.config, 'https');
}

/** Where a board over Bluetooth low energy is, if the user has written it down. */
export function bluetoothSettings(): string {
  return join(paths.config, 'bluetooth.json');
}

/**
 * The key that the QR code carries: made once, kept for this user alone, so that a paired phone stays paired. Where it
 * cannot be kept it holds until the collector stops, and `say` is told.
 */
export async function pairingKey(say: (text: string) => void): Promise<string> {
  const path = join(paths.config, 'pairing-key');
  const kept = await readFile(path, 'utf8').catch(() => '');
  if (/^[\w-]{22,200}$/.test(kept.trim())) return kept.trim();
  const made = randomBytes(18).toString('base64url');
  try {
    await makeFolders(dirname(path), 0o700);
    await writeFile(path, `${made}\n`, { mode: 0o600 });
  } catch (cause) {
    say(
      `The pairing key cannot be kept in ${path} (${errorCode(cause)}): phones must scan the code again after each start.`,
    );
  }
  return made;
}
