/** A disk in memory that fails on demand, and a look at what stands on it. */
import type { Disk, GrowingFile } from '../../collector/archive/disk.ts';

const fault = (code: string) => Object.assign(new Error(code), { code });

export interface FailingDisk extends Disk {
  files: Map<string, Buffer>;
  /** What the disk does next; each asked once per operation. Null: it works. */
  plan: {
    /** Of `asked` bytes how many are taken; fewer than asked is a short write. Throws a code to fail. */
    write(asked: number): number | string;
    sync(): string | null;
    truncate(): string | null;
    open(path: string): string | null;
  };
  /** Most files that were open at once for one path. */
  mostOpen: number;
  synced: Map<string, Buffer>;
}

export const working = (): FailingDisk['plan'] => ({
  write: (asked) => asked,
  sync: () => null,
  truncate: () => null,
  open: () => null,
});

export function failingDisk(): FailingDisk {
  const files = new Map<string, Buffer>();
  const synced = new Map<string, Buffer>();
  const opened = new Map<string, number>();
  const failIf = (code: string | null) => {
    if (code !== null) throw fault(code);
  };
  const disk: FailingDisk = {
    files,
    synced,
    plan: working(),
    mostOpen: 0,
    async grow(path): Promise<GrowingFile> {
      failIf(disk.plan.open(path));
      const count = (opened.get(path) ?? 0) + 1;
      opened.set(path, count);
      disk.mostOpen = Math.max(disk.mostOpen, count);
      if (!files.has(path)) files.set(path, Buffer.alloc(0));
      const bytes = () => files.get(path) ?? Buffer.alloc(0);
      return {
        size: async () => bytes().length,
        lastByte: async () => bytes().at(-1) ?? null,
        async write(asked) {
          const taken = disk.plan.write(asked.length);
          if (typeof taken === 'string') throw fault(taken);
          files.set(path, Buffer.concat([bytes(), asked.subarray(0, taken)]));
          return taken;
        },
        async truncate(length) {
          failIf(disk.plan.truncate());
          files.set(path, bytes().subarray(0, length));
        },
        async sync() {
          const code = disk.plan.sync();
          // After a failed sync the system may drop what it had not yet put on the disk.
          failIf(code);
          synced.set(path, bytes());
        },
        async close() {
          opened.set(path, (opened.get(path) ?? 1) - 1);
        },
      };
    },
    async replace(path, text) {
      failIf(disk.plan.open(path));
      files.set(path, Buffer.from(text));
    },
    async makeFolder() {
      return undefined;
    },
  };
  return disk;
}
