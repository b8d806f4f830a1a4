/** What the archive needs of a disk: the seam at which a failing one is put in its place. */
import { mkdir, open, rename } from 'node:fs/promises';
import { dirname } from 'node:path';

/** A file that only grows at its end. Every function rejects with the system's error, its `code` set. */
export interface GrowingFile {
  size(): Promise<number>;
  /** The byte at the very end; null if the file is empty. */
  lastByte(): Promise<number | null>;
  /** Appends; answers how many bytes were taken, which may be fewer than given. */
  write(bytes: Uint8Array): Promise<number>;
  truncate(length: number): Promise<void>;
  /** Data and length are on the disk when this resolves. */
  sync(): Promise<void>;
  close(): Promise<void>;
}

export interface Disk {
  /** Opens to append; makes the file, but not its folder, if it is not there. */
  grow(path: string): Promise<GrowingFile>;
  /** Puts `text` in the place of a whole file: a power cut leaves the old one or the new one. */
  replace(path: string, text: string): Promise<void>;
  /** Makes one folder; rejects with EEXIST if it is there. */
  makeFolder(path: string): Promise<void>;
}

/** Makes new names in a folder last. Where folders cannot be synced (Windows) the system sees to it itself. */
async function syncFolder(path: string): Promise<void> {
  if (process.platform === 'win32') return;
  const handle = await open(path, 'r');
  try {
    await handle.sync();
  } finally {
    await handle.close();
  }
}

export const systemDisk: Disk = {
  async grow(path) {
    const handle = await open(path, 'a+');
    const size = async () => (await handle.stat()).size;
    return {
      size,
      async lastByte() {
        const end = await size();
        const byte = Buffer.alloc(1);
        return end > 0 && (await handle.read(byte, 0, 1, end - 1)).bytesRead === 1 ? (byte[0] ?? null) : null;
      },
      write: async (bytes) => (await handle.write(bytes)).bytesWritten,
      truncate: (length) => handle.truncate(length),
      sync: () => handle.datasync(),
      close: () => handle.close(),
    };
  },

  async replace(path, text) {
    const fresh = `${path}.new`;
    const handle = await open(fresh, 'w');
    try {
      await handle.writeFile(text);
      await handle.sync();
    } finally {
      await handle.close();
    }
    await rename(fresh, path);
    await syncFolder(dirname(path));
  },

  async makeFolder(path) {
    await mkdir(path);
    await syncFolder(dirname(path));
  },
};
