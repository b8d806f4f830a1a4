/** One collector a data folder: two that write the same firing would tear it. */
import { mkdir, open, readFile, rm } from 'node:fs/promises';
import { join } from 'node:path';

const LOCK = 'collector.pid';

/**
 * Takes the folder for this process; the answer lets it go. Throws with one sentence while another collector that is
 * alive has it; the mark of a dead one is taken over.
 */
export async function lockDataFolder(folder: string): Promise<() => Promise<void>> {
  await mkdir(folder, { recursive: true });
  const path = join(folder, LOCK);
  for (let tries = 0; tries < 3; tries += 1) {
    try {
      const file = await open(path, 'wx');
      await file.writeFile(String(process.pid));
      await file.close();
      return () => rm(path, { force: true });
    } catch (cause) {
      if (!(cause instanceof Error && 'code' in cause && cause.code === 'EEXIST')) throw cause;
      const holder = Number((await readFile(path, 'utf8').catch(() => '')).trim());
      if (isAlive(holder)) {
        throw new Error(
          `Another Spyhole (process ${holder}) already writes to ${folder}: stop it first, or give this one --data with another folder.`,
        );
      }
      await rm(path, { force: true });
    }
  }
  throw new Error(`The data folder ${folder} cannot be taken: another Spyhole keeps starting in it.`);
}

function isAlive(pid: number): boolean {
  if (!Number.isInteger(pid) || pid <= 0 || pid === process.pid) return false;
  try {
    process.kill(pid, 0);
    return true;
  } catch (cause) {
    return cause instanceof Error && 'code' in cause && cause.code === 'EPERM';
  }
}
