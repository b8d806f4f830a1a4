/** Makes a folder and those above it. */
import { mkdir, stat } from 'node:fs/promises';
import { dirname } from 'node:path';
import { errorCode } from '../error-code.ts';

const isFolder = (path: string) =>
  stat(path).then(
    (status) => status.isDirectory(),
    () => false,
  );

/**
 * Rejects with the system's error. Node's own `recursive` tries for ever where a folder is there in which none can be
 * made, as under /proc or on a mount that has gone.
 */
export async function makeFolders(path: string, mode?: number): Promise<void> {
  if (await isFolder(path)) return;
  try {
    await mkdir(path, mode);
  } catch (error) {
    // Another program may have made it meanwhile.
    if (errorCode(error) === 'EEXIST' && (await isFolder(path))) return;
    if (errorCode(error) !== 'ENOENT' || dirname(path) === path) throw error;
    await makeFolders(dirname(path), mode);
    await mkdir(path, mode);
  }
}
