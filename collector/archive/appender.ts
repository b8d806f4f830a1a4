/**
 * One file that only grows: whole rows wait in memory until they are written and synced, in order. A row leaves the
 * memory only once a sync has succeeded, since after a failed one the system may have dropped what it held.
 */
import type { Disk, GrowingFile } from './disk.ts';

/** At most this much in one write, so that a long backlog goes out in steps. */
const WRITE_BYTES = 1 << 20;
const LF = 10;

export interface Appender {
  /** Takes text of whole rows; false: there is no memory left for it. */
  add(text: string): boolean;
  /** Writes what waits and, if told so, syncs. Rejects with the disk's error; then everything waits for the next try. */
  write(sync: boolean): Promise<void>;
  /** Whether anything is not yet written, or not yet synced. */
  unsettled(): boolean;
  /** The file may be gone: sees to it with the next write that it is there. */
  again(): void;
}

export interface AppenderStart {
  disk: Disk;
  path: string;
  /** Written before everything else when the file is empty. Ends a line. */
  header: string;
  /** At most this much waits in memory. */
  memoryBytes: number;
  /** A tail to cut off before anything is written: only if the file has still this size. */
  torn: { keepBytes: number; size: number } | null;
}

/** Nothing is read or written until the first `write`. Never call `write` while one is under way. */
export function createAppender({ disk, path, header, memoryBytes, torn }: AppenderStart): Appender {
  /** The oldest first; the first `inFile` of them are written but not synced. */
  const waiting: Buffer[] = [];
  let waitingBytes = 0;
  let inFile = 0;
  /** Size of the file up to what is synced, and up to what we wrote; null before the first write. */
  let syncedSize: number | null = null;
  let writtenSize: number | null = null;
  let tail = torn;
  /** The header and the mended end are on the disk. */
  let begun = false;

  /** Makes the end of the file the end of a row, and answers the file's size. */
  async function mendEnd(file: GrowingFile): Promise<number> {
    const size = await file.size();
    if (tail === null || size !== tail.size) {
      tail = null;
      return size;
    }
    const { keepBytes } = tail;
    await file.truncate(keepBytes);
    tail = null;
    return keepBytes;
  }

  /** What must go before the next row: the header, or a line end where somebody else left the last line without. */
  async function leadOf(file: GrowingFile, size: number): Promise<Buffer> {
    if (size === 0) return Buffer.from(header);
    const glued = size !== writtenSize && (await file.lastByte()) !== LF;
    return Buffer.from(glued ? '\r\n' : '');
  }

  /** The rows that come next, as many as one write may hold. */
  function nextRows(): Buffer[] {
    let bytes = 0;
    let end = inFile;
    for (; end < waiting.length && bytes < WRITE_BYTES; end++) bytes += waiting[end]?.length ?? 0;
    return waiting.slice(inFile, end);
  }

  /** Writes the next rows behind `size` bytes; the answer is the file's size then. */
  async function writeNext(file: GrowingFile, size: number): Promise<number> {
    const parts = [await leadOf(file, size), ...nextRows()];
    const bytes = Buffer.concat(parts);
    let done = 0;
    try {
      while (done < bytes.length) {
        const taken = await file.write(bytes.subarray(done));
        if (taken === 0) throw Object.assign(new Error('the disk took no byte'), { code: 'ENOSPC' });
        done += taken;
      }
    } finally {
      // After an error a part of the rows stands in the file: the whole ones count, a torn one is cut off.
      let whole = 0;
      for (const [i, part] of parts.entries()) {
        if (whole + part.length > done) break;
        whole += part.length;
        if (i > 0) inFile++;
      }
      writtenSize = size + whole;
      // What cannot be cut off now is cut off before the next write.
      if (done > whole) {
        tail = { keepBytes: size + whole, size: size + done };
        await mendEnd(file).catch(() => null);
      }
    }
    return writtenSize;
  }

  /** After a failed sync what was written since the last one may be lost: it is cut off, and written again. */
  function distrust(error: unknown): never {
    if (inFile > 0 && syncedSize !== null && writtenSize !== null)
      tail = { keepBytes: syncedSize, size: writtenSize };
    inFile = 0;
    throw error;
  }

  async function writeAll(file: GrowingFile, sync: boolean): Promise<void> {
    let size = await mendEnd(file);
    // An empty file is another one than that which was written to.
    if (size === 0) inFile = 0;
    if (inFile === 0) syncedSize = size;
    do size = await writeNext(file, size);
    while (inFile < waiting.length);
    if (!sync) return;
    await file.sync().catch(distrust);
    for (const row of waiting.splice(0, inFile)) waitingBytes -= row.length;
    inFile = 0;
    syncedSize = size;
    begun = true;
  }

  return {
    add(text) {
      const row = Buffer.from(text);
      if (waitingBytes + row.length > memoryBytes) return false;
      waiting.push(row);
      waitingBytes += row.length;
      return true;
    },

    async write(sync) {
      const rowsDone = sync ? waiting.length === 0 : inFile === waiting.length;
      if (begun && tail === null && rowsDone) return;
      const file = await disk.grow(path);
      try {
        await writeAll(file, sync);
      } finally {
        await file.close().catch(distrust);
      }
    },

    unsettled: () => !begun || tail !== null || waiting.length > 0,
    again() {
      begun = false;
    },
  };
}
