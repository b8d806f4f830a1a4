/** Where the user's own things lie, as the system has it. */
import { randomBytes } from 'node:crypto';
import { mkdir, readFile, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import envPaths from 'env-paths';

const paths = envPaths('spyhole', { suffix: '' });

/** Firings, unless `--data` says otherwise. */
export function userDataFolder(): string {
  return paths.data;
}

/** The key that the QR code carries: made once, kept for this user alone, so that a paired phone stays paired. */
export async function pairingKey(): Promise<string> {
  const path = join(paths.config, 'pairing-key');
  const kept = await readFile(path, 'utf8').catch(() => '');
  if (/^[\w-]{22,}$/.test(kept.trim())) return kept.trim();
  const made = randomBytes(18).toString('base64url');
  await mkdir(dirname(path), { recursive: true, mode: 0o700 });
  await writeFile(path, `${made}\n`, { mode: 0o600 });
  return made;
}
