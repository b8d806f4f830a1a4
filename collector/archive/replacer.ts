/** A small file that is replaced as a whole: the newest text waits until it is on the disk. */
import type { Disk } from './disk.ts';
import type { Step } from './flusher.ts';

export interface Replacer extends Step {
  set(text: string): void;
  /** The file may be gone: writes the last text once more. */
  again(): void;
}

export function createReplacer(disk: Disk, path: string): Replacer {
  let last: string | null = null;
  let waiting: string | null = null;
  return {
    set(text) {
      last = text;
      waiting = text;
    },
    again() {
      waiting ??= last;
    },
    async write() {
      const text = waiting;
      if (text === null) return;
      await disk.replace(path, text);
      if (waiting === text) waiting = null;
    },
    unsettled: () => waiting !== null,
  };
}
