/** Reads files that grow at their end: whole lines only, since the last may be torn or about to be finished. */
import { type FileHandle, open } from 'node:fs/promises';

const CHUNK_BYTES = 1 << 18;
const LF = 10;

/** Reads `bytes.length` bytes at `from`, or what there is of them. */
async function readAt(handle: FileHandle, bytes: Buffer, from: number): Promise<Buffer> {
  let done = 0;
  while (done < bytes.length) {
    const { bytesRead } = await handle.read(bytes, done, bytes.length - done, from + done);
    if (bytesRead === 0) break;
    done += bytesRead;
  }
  return bytes.subarray(0, done);
}

/**
 * The file's whole lines in pieces of some 256 KiB, from byte `from` on (the start of a line). A last line without LF
 * is left out. Rejects with the system's error.
 */
export async function* wholeLines(path: string, from = 0): AsyncGenerator<Buffer> {
  const handle = await open(path, 'r');
  try {
    let at = from;
    let begun: Buffer[] = [];
    for (;;) {
      const chunk = await readAt(handle, Buffer.alloc(CHUNK_BYTES), at);
      if (chunk.length === 0) return;
      at += chunk.length;
      const end = chunk.lastIndexOf(LF) + 1;
      if (end > 0) {
        yield begun.length === 0 ? chunk.subarray(0, end) : Buffer.concat([...begun, chunk.subarray(0, end)]);
        begun = [];
      }
      if (end < chunk.length) begun.push(chunk.subarray(end));
    }
  } finally {
    await handle.close();
  }
}

/**
 * The last whole lines of a file, some `bytes` of them, without a line that begins before that. Rejects with the
 * system's error.
 */
export async function lastLines(path: string, bytes: number): Promise<Buffer> {
  const handle = await open(path, 'r');
  try {
    const { size } = await handle.stat();
    const from = Math.max(0, size - bytes);
    const tail = await readAt(handle, Buffer.alloc(size - from), from);
    const start = from === 0 ? 0 : tail.indexOf(LF) + 1;
    return tail.subarray(start, Math.max(start, tail.lastIndexOf(LF) + 1));
  } finally {
    await handle.close();
  }
}

/** How many bytes at the start of the file are whole lines, and its size. */
export async function wholeLineBytes(path: string): Promise<{ keepBytes: number; size: number }> {
  const handle = await open(path, 'r');
  try {
    const { size } = await handle.stat();
    for (let end = size; end > 0; end -= Math.min(end, CHUNK_BYTES)) {
      const from = Math.max(0, end - CHUNK_BYTES);
      const last = (await readAt(handle, Buffer.alloc(end - from), from)).lastIndexOf(LF);
      if (last >= 0) return { keepBytes: from + last + 1, size };
    }
    return { keepBytes: 0, size };
  } finally {
    await handle.close();
  }
}
