/**
 * A firing that Spyhole had put into a zip, taken back. Nothing of the zip but the contents of the files that a firing has
 * is used: no name in it becomes a path.
 */
import { createWriteStream } from 'node:fs';
import { mkdtemp, readFile, rename, rm, writeFile } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { Readable, Transform } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { type Entry, openPromise, type ZipFile } from 'yauzl';
import { arrivalKey, orderedLines } from '../archive/by-time.ts';
import { localDate, safeName } from '../archive/folder-name.ts';
import { makeFolders } from '../archive/make-folders.ts';
import { planFileFromText, planFileText } from '../archive/plan-file.ts';
import { readReadings } from '../archive/read.ts';
import { READINGS_HEADER } from '../archive/row-text.ts';
import { errorCode } from '../error-code.ts';

const MB = 1024 * 1024;
/** The files of a firing that are taken back, and how large each may be when it is unpacked. */
const FILES: ReadonlyMap<string, number> = new Map([
  ['readings.csv', 2048 * MB],
  ['log.csv', 64 * MB],
  ['plan.json', 4 * MB],
  ['results.csv', 8 * MB],
  ['readings.csv-metadata.json', MB],
  ['results.csv-metadata.json', MB],
  ['link.capture', 2048 * MB],
]);
const NO_ZIP =
  'This zip holds no firing of Spyhole: it needs readings.csv and plan.json, as Spyhole writes them.';
const MARKED = ['log.csv', 'results.csv'];

/** Taken over: the folder's name, and what of it could not be read, in a sentence or null. */
export interface TakenZip {
  id: string;
  say: string | null;
}

/** Rejects with one sentence where the zip holds no firing, or is too large; then nothing is left behind. */
export async function takeZip(dataFolder: string, zipPath: string): Promise<TakenZip> {
  await makeFolders(dataFolder);
  const stage = await mkdtemp(join(dataFolder, '.taking-'));
  try {
    const found = await unpack(zipPath, stage);
    if (!found.has('readings.csv') || !found.has('plan.json')) throw new Error(NO_ZIP);
    const plan = planFileFromText(await readFile(join(stage, 'plan.json'), 'utf8'));
    if (plan === null) throw new Error('The plan.json in this zip cannot be read.');
    // A firing that was taken over is over: it is not gone on with.
    await writeFile(join(stage, 'plan.json'), planFileText({ ...plan, source: 'import' }));
    for (const name of MARKED) if (found.has(name)) await withoutMark(join(stage, name));
    await inOrderOfArrival(join(stage, 'readings.csv'));
    const say = await brokenIn(stage);
    return {
      id: await settle(stage, dataFolder, `${localDate(plan.startedAt)}-${safeName(plan.plan.name)}`),
      say,
    };
  } catch (cause) {
    await rm(stage, { recursive: true, force: true });
    throw cause;
  }
}

async function unpack(zipPath: string, stage: string): Promise<Set<string>> {
  const found = new Set<string>();
  let zip: ZipFile;
  try {
    zip = await openPromise(zipPath, { autoClose: false });
  } catch {
    throw new Error(NO_ZIP);
  }
  try {
    for await (const entry of zip.eachEntry()) {
      const name = basename(entry.fileName);
      const mostBytes = FILES.get(name);
      if (mostBytes === undefined || entry.fileName.endsWith('/')) continue;
      if (found.has(name)) throw new Error('This zip holds more than one firing: take them over one by one.');
      found.add(name);
      await unpackOne(zip, entry, join(stage, name), mostBytes);
    }
  } finally {
    zip.close();
  }
  return found;
}

async function unpackOne(zip: ZipFile, entry: Entry, path: string, mostBytes: number): Promise<void> {
  let bytes = 0;
  const measured = new Transform({
    transform(chunk: Buffer, _encoding, done) {
      bytes += chunk.length;
      // What the zip says of itself is not gone by.
      if (bytes > mostBytes) done(new Error(`${basename(path)} in this zip is too large.`));
      else done(null, chunk);
    },
  });
  await pipeline(await zip.openReadStreamPromise(entry), measured, createWriteStream(path));
}

async function withoutMark(path: string): Promise<void> {
  const bytes = await readFile(path);
  const mark = Buffer.from('\ufeff');
  if (bytes.subarray(0, mark.length).equals(mark)) await writeFile(path, bytes.subarray(mark.length));
}

/** In the zip they stand by time; picking up again goes by arrival. */
async function inOrderOfArrival(path: string): Promise<void> {
  const fresh = `${path}.new`;
  await pipeline(
    Readable.from(orderedLines(path, arrivalKey), { objectMode: false }),
    createWriteStream(fresh),
  );
  await rename(fresh, path);
}

async function brokenIn(stage: string): Promise<string | null> {
  let broken = 0;
  let rows = 0;
  const onBroken = () => {
    broken += 1;
  };
  for await (const some of readReadings(stage, onBroken)) rows += some.length;
  const empty = rows === 0 && (await readFile(join(stage, 'readings.csv'), 'utf8')) !== READINGS_HEADER;
  if (empty) throw new Error(NO_ZIP);
  return broken === 0
    ? null
    : `${broken} rows of readings.csv cannot be read: they stand in the file, and are not shown.`;
}

/** Gives the folder its name, or with `-2`, `-3` and so on behind it if there is one already. */
async function settle(stage: string, dataFolder: string, stem: string): Promise<string> {
  for (let count = 1; ; count += 1) {
    const id = count === 1 ? stem : `${stem}-${count}`;
    try {
      await rename(stage, join(dataFolder, id));
      return id;
    } catch (cause) {
      if (!['ENOTEMPTY', 'EEXIST', 'EPERM', 'ENOTDIR'].includes(errorCode(cause)) || count > 999) throw cause;
    }
  }
}
