/** The demo's past firings are made by a process of its own, last in turn for the computer, when somebody first asks for them. */
import { spawn } from 'node:child_process';
import { constants, setPriority } from 'node:os';
import type { PastFirings } from '../server/site.ts';

/** The command's word; it is not shown in the help. */
export const INVENT = 'invent-firings';

/** `firings` with the invented ones coming in; `stop` ends the making. */
export function withInvented(
  firings: PastFirings,
  dataFolder: string,
  program = process.argv[1],
): { firings: PastFirings; stop(): void } {
  let stop: (() => void) | null = null;
  let making = false;
  const begin = () => {
    if (stop !== null || program === undefined) return;
    making = true;
    const child = spawn(process.execPath, [program, INVENT, dataFolder], {
      stdio: ['ignore', 'ignore', 'ignore', 'ipc'],
    });
    stop = () => child.kill();
    const over = () => {
      making = false;
    };
    child.on('error', over);
    child.on('exit', over);
    try {
      if (child.pid !== undefined) setPriority(child.pid, constants.priority.PRIORITY_LOW);
    } catch {
      // It is gone already, or the system lets nobody: it is made all the same.
    }
  };
  return {
    firings: {
      ...firings,
      list: () => {
        begin();
        return firings.list();
      },
      making: () => making,
    },
    stop: () => stop?.(),
  };
}
