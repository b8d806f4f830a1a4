/**
 * What a port is called by the board and not by the order of plugging in: Linux keeps such names under
 * /dev/serial/by-id, and a board that was ttyUSB0 may come back as ttyUSB1.
 */
import { readdir, realpath, stat } from 'node:fs/promises';
import { join } from 'node:path';

export const BY_ID_FOLDER = '/dev/serial/by-id';

/** Every by-id path, by the device path that it stands for. Empty where the system keeps no such names. */
export async function stableNames(folder = BY_ID_FOLDER): Promise<Map<string, string>> {
  const names = new Map<string, string>();
  for (const entry of await readdir(folder).catch(() => [])) {
    const path = join(folder, entry);
    const device = await realpath(path).catch(() => null);
    if (device !== null) names.set(device, path);
  }
  return names;
}

/** The by-id path of the port at `path`; null if it has none, or is one itself. */
export async function stableNameOf(path: string, folder = BY_ID_FOLDER): Promise<string | null> {
  if (!path.startsWith('/') || path.startsWith(folder)) return null;
  const device = await realpath(path).catch(() => null);
  return device === null ? null : ((await stableNames(folder)).get(device) ?? null);
}

/**
 * Tells the thing at a path from another that takes its place later; null if nothing is there. A path that is no file
 * path (COM3) is always there and always the same.
 */
export async function whatIsAt(path: string): Promise<string | null> {
  if (!path.startsWith('/')) return path;
  return stat(path).then(
    ({ dev, ino, rdev }) => `${dev}:${ino}:${rdev}`,
    () => null,
  );
}
