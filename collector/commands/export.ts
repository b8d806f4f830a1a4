/** `spyhole export FIRING --zip FILE`: a firing as one zip. */
import { createWriteStream } from 'node:fs';
import { rename, rm } from 'node:fs/promises';
import { resolve } from 'node:path';
import { pipeline } from 'node:stream/promises';
import { exportZip } from '../archive/export.ts';
import { errorCode } from '../error-code.ts';
import { firingFolder } from './firing-folder.ts';

/** Rejects with one sentence; a file that stood there before is then still there. */
export async function exportCommand(
  firing: string,
  { zip, capture, data }: { zip: string; capture: boolean; data: string | undefined },
): Promise<void> {
  const folder = await firingFolder(firing, data);
  const path = resolve(zip);
  const fresh = `${path}.new`;
  try {
    await pipeline(await exportZip(folder, { capture }), createWriteStream(fresh));
    await rename(fresh, path);
  } catch (cause) {
    await rm(fresh, { force: true });
    throw new Error(`${path} cannot be written (${errorCode(cause)}).`, { cause });
  }
  process.stderr.write(`${folder} is in ${path}.\n`);
}
