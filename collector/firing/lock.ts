/** One collector a data folder: two that write the same firing would tear it. */
import { randomUUID } from 'node:crypto';
import { open, readFile, rename, rm } from 'node:fs/promises';
import { dirname, join, resolve } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { makeFolders } from '../archive/make-folders.ts';
import { startTrouble } from '../archive/trouble.ts';
import { errorCode } from '../error-code.ts';

const LOCK = 'collector.pid';
/** A mark with nothing in it is being written by another; after so many looks it was left so by a crash. */
const LOOKS_AT_EMPTY = 20;
const LOOK_EVERY_MS = 50;
const MOST_LOOKS = 40;

/**
 * Takes the folder for this process; the answer lets it go. Throws with one sentence while another collector that is
 * alive has it, or if nothing can be written there; the mark of a dead one is taken over.
 */
export async function lockDataFolder(dataFolder: string): Promise<() => Promise<void>> {
  const folder = resolve(dataFolder);
  const path = join(folder, LOCK);
  const mine = `${await markOf(process.pid)}\n${randomUUID()}`;
  const { taken, holder } = await takeLock(path, mine).catch((cause: unknown) => {
    throw startTrouble(cause, folder);
  });
  if (taken) return () => letGo(path, mine);
  throw new Error(
    holder === null
      ? `The data folder ${folder} cannot be taken: another Spyhole keeps starting in it.`
      : `Another Spyhole (process ${holder}) already writes to ${folder}: stop it first, or give this one --data with another folder.`,
  );
}

/** Puts the mark `mine` there, or says which process has its own there; null where that changes all the time. */
async function takeLock(path: string, mine: string): Promise<{ taken: boolean; holder: number | null }> {
  await makeFolders(dirname(path));
  for (let looks = 1; looks <= MOST_LOOKS; looks += 1) {
    const put = await putMark(path, mine);
    // Whoever takes a dead one's mark away may for a moment take another's, and puts it back over this one.
    if (put) await sleep(LOOK_EVERY_MS);
    const found = await readFile(path, 'utf8').catch(() => '');
    if (found === mine || (put && found === '')) return { taken: true, holder: process.pid };
    if (found === '' && looks < LOOKS_AT_EMPTY) await sleep(LOOK_EVERY_MS);
    else if (await isOfTheLiving(found)) return { taken: false, holder: Number.parseInt(found, 10) };
    else await takeAway(path, found);
  }
  return { taken: false, holder: null };
}

/** False: there is a mark already. */
async function putMark(path: string, mark: string): Promise<boolean> {
  try {
    const file = await open(path, 'wx');
    // On a full disk the mark stays empty, which is no reason to leave a burning kiln unwatched.
    await file.writeFile(mark).catch(() => undefined);
    await file.close();
    return true;
  } catch (cause) {
    if (errorCode(cause) === 'EEXIST') return false;
    throw cause;
  }
}

/** Removes the mark of a dead one, unless another has put its own there meanwhile. */
async function takeAway(path: string, found: string): Promise<void> {
  const aside = `${path}.${randomUUID()}`;
  try {
    await rename(path, aside);
  } catch (cause) {
    if (errorCode(cause) === 'ENOENT') return;
    throw cause;
  }
  if ((await readFile(aside, 'utf8').catch(() => found)) === found) await rm(aside, { force: true });
  else await rename(aside, path);
}

async function letGo(path: string, mine: string): Promise<void> {
  const found = await readFile(path, 'utf8').catch(() => null);
  if (found === mine || found === '') await rm(path, { force: true });
}

/**
 * The process, and where the system tells it (Linux) when it began and in which run of the computer: after a power cut
 * its number may soon be that of another program.
 */
async function markOf(pid: number): Promise<string> {
  try {
    const [status, run] = await Promise.all([
      readFile(`/proc/${pid}/stat`, 'utf8'),
      readFile('/proc/sys/kernel/random/boot_id', 'utf8'),
    ]);
    // proc(5): the fields behind the name in brackets, which may hold anything, begin with the third; starttime is the 22nd.
    const began = status.slice(status.lastIndexOf(')') + 2).split(' ')[22 - 3];
    return `${pid} ${began} ${run.trim()}`;
  } catch {
    return String(pid);
  }
}

async function isOfTheLiving(mark: string): Promise<boolean> {
  const [line = ''] = mark.trim().split('\n');
  const [pidText, began] = line.split(' ');
  const pid = Number(pidText);
  if (!Number.isInteger(pid) || pid <= 0 || !isAlive(pid)) return false;
  const now = await markOf(pid);
  if (began === undefined || !now.includes(' ')) return pid !== process.pid;
  return now === line;
}

function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (cause) {
    return errorCode(cause) === 'EPERM';
  }
}
