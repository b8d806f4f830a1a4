/** Taking firings over into a data folder, one at a time: what the page's doors and the command line both use. */
import { createWriteStream } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Readable, Transform } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { type Looked, type Mapping, MOST_ZIP_BYTES, type Tried } from '../../protocol/imports.ts';
import type { ImportBook } from '../server/import-doors.ts';
import { readCsv, TooLarge } from './csv.ts';
import { triedOf } from './gather.ts';
import { type About, lookAt } from './look.ts';
import { makeFiring, type OnProgress } from './make.ts';
import { takeZip } from './zip.ts';

/** `zone`: the time zone that a file is taken to be of, unless told. */
export function createImportBook(dataFolder: string, zone: string): ImportBook {
  let busy = false;
  /** Two at once would take twice the memory, and twice the time from a kiln that is watched. */
  const alone = async <What>(work: () => Promise<What>): Promise<What> => {
    if (busy) throw new Error('Another firing is being taken over: try again in a minute.');
    busy = true;
    try {
      return await work();
    } finally {
      busy = false;
    }
  };
  return {
    look: (head: Buffer, about: Omit<About, 'zone'>): Looked => lookAt(head, { ...about, zone }),
    try: (bytes: Readable, mapping: Mapping): Promise<Tried> =>
      alone(async () => triedOf(mapping, await readCsv(bytes, mapping))),
    take: (bytes: Readable, mapping: Mapping, fileName: string, onProgress?: OnProgress) =>
      alone(async () => makeFiring(dataFolder, fileName, mapping, await readCsv(bytes, mapping), onProgress)),
    zip: (bytes: Readable) => alone(() => zipFromStream(dataFolder, bytes)),
  };
}

/** A zip can only be read once it is whole: its list of files stands at its end. */
async function zipFromStream(dataFolder: string, bytes: Readable) {
  const folder = await mkdtemp(join(tmpdir(), 'spyhole-zip-'));
  try {
    const path = join(folder, 'firing.zip');
    let count = 0;
    const measured = new Transform({
      transform(chunk: Buffer, _encoding, done) {
        count += chunk.length;
        if (count > MOST_ZIP_BYTES)
          done(new TooLarge(`The zip is larger than ${MOST_ZIP_BYTES / 1024 / 1024} MB.`));
        else done(null, chunk);
      },
    });
    await pipeline(bytes, measured, createWriteStream(path));
    return await takeZip(dataFolder, path);
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

/** The time zone of this computer, by its IANA name. */
export const ownZone = (): string => Intl.DateTimeFormat().resolvedOptions().timeZone;
