/**
 * A firing as one zip, to take it away: readings.csv sorted by time, as readers expect it, and all that stands beside it.
 *
 * log.csv and results.csv begin with a byte order mark in the zip, since without one a spreadsheet takes their UTF-8 for
 * another encoding and spoils the names and notes that people wrote; programs that read CSV take it away by themselves.
 * readings.csv is ASCII throughout and has none, so that every reader, also one that knows nothing of the mark, finds its
 * first column.
 */
import { createReadStream } from 'node:fs';
import { readFile, stat } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { Readable } from 'node:stream';
import { ZipFile } from 'yazl';
import { logMetadata, readingsMetadata, resultsMetadata } from '../../protocol/archive-metadata.ts';
import { errorCode } from '../error-code.ts';
import { orderedLines, timeKey } from './by-time.ts';
import { takeLogApart } from './log-text.ts';
import { readPlan } from './read.ts';

const BOM = Buffer.from('\ufeff');

export interface ExportOptions {
  /** With link.capture, every line of the link. */
  capture: boolean;
}

/** The name that a firing's zip is given. */
export function zipName(id: string): string {
  return `spyhole-${id}.zip`;
}

/**
 * The zip of a firing's folder as a stream; it is made while it is read, and breaks off with the system's error where the
 * disk does. Rejects where there is no readings.csv.
 */
export async function exportZip(folder: string, { capture }: ExportOptions): Promise<Readable> {
  const readings = join(folder, 'readings.csv');
  const mtime = (await stat(readings)).mtime;
  const id = basename(folder);
  const title = (await readPlan(folder))?.plan.name ?? id;
  const zip = new ZipFile();
  const options = { mtime };
  const add = (name: string, bytes: Buffer | null) => {
    if (bytes !== null) zip.addBuffer(bytes, `${id}/${name}`, options);
  };
  const describe = (name: string, metadata: object) =>
    add(`${name}-metadata.json`, Buffer.from(`${JSON.stringify(metadata, null, 2)}\n`));
  const log = await fileOf(join(folder, 'log.csv'));
  const results = await fileOf(join(folder, 'results.csv'));
  add('plan.json', await fileOf(join(folder, 'plan.json')));
  describe('readings.csv', readingsMetadata(title, 'time'));
  if (log !== null) {
    add('log.csv', marked(log.subarray(0, takeLogApart(log).keepBytes)));
    describe('log.csv', logMetadata(title));
  }
  if (results !== null) {
    add('results.csv', marked(results));
    describe('results.csv', resultsMetadata(title));
  }
  const broken = (error: Error) => (zip.outputStream as Readable).destroy(error);
  zip.addReadStreamLazy(`${id}/readings.csv`, options, (ready) =>
    ready(null, Readable.from(orderedLines(readings, timeKey), { objectMode: false })),
  );
  const link = join(folder, 'link.capture');
  if (capture && (await stat(link).catch(() => null)))
    zip.addReadStreamLazy(`${id}/link.capture`, options, (ready) => ready(null, createReadStream(link)));
  zip.on('error', broken);
  zip.end();
  return zip.outputStream as Readable;
}

async function fileOf(path: string): Promise<Buffer | null> {
  try {
    return await readFile(path);
  } catch (error) {
    if (errorCode(error) === 'ENOENT') return null;
    throw error;
  }
}

function marked(bytes: Buffer): Buffer {
  return bytes.subarray(0, BOM.length).equals(BOM) ? bytes : Buffer.concat([BOM, bytes]);
}
