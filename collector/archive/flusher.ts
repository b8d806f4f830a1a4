/**
 * When the archive is written: what is handed in waits at most 250 ms of real time and is synced once a second, so a
 * killed collector loses the last quarter of a second, and a power cut the last two seconds at most. A disk in trouble
 * is tried again every 2 s, and told about once.
 */
import { errorCode } from '../error-code.ts';
import { writingTrouble } from './trouble.ts';

const WRITE_EVERY_MS = 250;
const SYNC_EVERY_MS = 1000;
const RETRY_EVERY_MS = 2000;
/**
 * A memory card may stand still for some seconds while it tidies up. Counted second by second: a process that was stopped
 * for longer finds one second gone, and then the answer.
 */
const NO_ANSWER_S = 30;

/** A file that is written to. */
export interface Step {
  /** Writes what waits, and syncs if told so. Rejects with the disk's error, and loses nothing. */
  write(sync: boolean): Promise<void>;
  /** Whether anything is not yet written, or not yet synced. */
  unsettled(): boolean;
}

export interface Flusher {
  /** Something waits to be written. */
  soon(): void;
  /** Tries to write and sync everything, once. Never rejects. */
  now(): Promise<void>;
  /** There was no memory left for something. */
  gaveUp(): void;
  /** As `now`, and tries no more. */
  close(): Promise<void>;
}

interface FlusherStart {
  /** In the order in which they are written. */
  steps: Step[];
  folder: string;
  onTrouble(text: string | null): void;
  /** The folder was not there. */
  onGone(): void;
}

export function createFlusher({ steps, folder, onTrouble, onGone }: FlusherStart): Flusher {
  let failure: unknown = null;
  let someGivenUp = false;
  let told: string | null = null;
  let timer: NodeJS.Timeout | null = null;
  let syncedAt = performance.now();
  let underWay = Promise.resolve();
  let closed = false;

  function tell(): void {
    const text = failure === null ? null : writingTrouble(failure, folder, someGivenUp);
    if (text === told) return;
    told = text;
    onTrouble(text);
  }

  async function attempt(asked: boolean): Promise<void> {
    const sync = asked || failure !== null || performance.now() - syncedAt >= SYNC_EVERY_MS;
    let waitedS = 0;
    const noAnswer = setInterval(() => {
      waitedS += 1;
      if (waitedS < NO_ANSWER_S) return;
      failure ??= Object.assign(new Error('the disk does not answer'), { code: 'ETIMEDOUT' });
      tell();
    }, 1000);
    let failed: unknown = null;
    // One file's trouble holds up no other: each is tried.
    for (const step of steps) {
      try {
        await step.write(sync);
      } catch (error) {
        failed ??= error;
        if (errorCode(error) === 'ENOENT') onGone();
      }
    }
    clearInterval(noAnswer);
    if (sync) syncedAt = performance.now();
    failure = failed;
    if (failed === null) someGivenUp = false;
    tell();
    if (steps.some((step) => step.unsettled())) soon();
  }

  /** Never two attempts at once. */
  function next(asked: boolean): Promise<void> {
    underWay = underWay.then(() => attempt(asked));
    return underWay;
  }

  function soon(): void {
    if (timer !== null || closed) return;
    timer = setTimeout(
      () => {
        timer = null;
        void next(false);
      },
      failure === null ? WRITE_EVERY_MS : RETRY_EVERY_MS,
    );
  }

  return {
    soon,
    now: () => next(true),
    gaveUp() {
      someGivenUp = true;
      tell();
    },
    close() {
      closed = true;
      if (timer !== null) clearTimeout(timer);
      return next(true);
    },
  };
}
