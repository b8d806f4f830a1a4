/**
 * What of a firing's growing files is torn: the end of a row that was being written when the power went, or the zeros
 * that a file system puts there. It is cut off before anything is added (see appender.ts), and nothing else is: a row
 * hurt by hand in the middle stays, and readers leave it out. A missing or empty file is begun anew with its header.
 *
 * One reading makes several rows. Where only some of them are left they stay, since each is whole. Recovery completes
 * that reading out of link.capture where it can, and `Archive.complete` adds only the rows that are not there, so no
 * probe of a reading ever stands there twice.
 */
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { errorCode } from '../error-code.ts';
import { wholeLineBytes } from './lines.ts';
import { takeLogApart } from './log-text.ts';

/** The files that only grow. */
export type GrowingName = 'link.capture' | 'log.csv' | 'readings.csv';

export interface Torn {
  /** Bytes of whole rows. */
  keepBytes: number;
  /** Bytes there are. */
  size: number;
}

async function logTear(path: string): Promise<Torn> {
  const bytes = await readFile(path);
  return { keepBytes: takeLogApart(bytes).keepBytes, size: bytes.length };
}

/** null: there is nothing to cut off. Rejects with the system's error if the file is there and cannot be read. */
async function tearOf(tear: Promise<Torn>): Promise<Torn | null> {
  try {
    const { keepBytes, size } = await tear;
    return keepBytes < size ? { keepBytes, size } : null;
  } catch (error) {
    if (errorCode(error) === 'ENOENT') return null;
    throw error;
  }
}

/** Looks for torn ends; changes nothing. */
export async function findTorn(folder: string): Promise<Record<GrowingName, Torn | null>> {
  const [capture, log, readings] = await Promise.all([
    tearOf(wholeLineBytes(join(folder, 'link.capture'))),
    tearOf(logTear(join(folder, 'log.csv'))),
    tearOf(wholeLineBytes(join(folder, 'readings.csv'))),
  ]);
  return { 'link.capture': capture, 'log.csv': log, 'readings.csv': readings };
}
