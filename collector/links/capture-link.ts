/** A capture that is played: its lines come in at their own times, as the clock gets there. */
import { basename } from 'node:path';
import type { CaptureLine } from '../../protocol/capture.ts';
import type { Clock } from '../clock.ts';
import { readCapture } from './capture-reader.ts';
import type { LinkHandlers, OpenLink } from './link.ts';

interface CaptureLinkOptions {
  path: string;
  /** Started by the caller at the capture's first time; its rate is how many times as fast as it happened. */
  clock: Clock;
}

/**
 * Plays a capture once, in memory that does not grow with it. `at` is the record's own time, and no record comes
 * before the clock is there. Nothing can be sent; `reopen()` does nothing, as a gap in a capture stays a gap.
 */
export function captureLink({ path, clock }: CaptureLinkOptions): OpenLink {
  return (handlers) => {
    let closed = false;
    let wake: () => void = () => undefined;
    /** The batch that is played, and its next record. */
    let batch: readonly CaptureLine[] = [];
    let next = 0;
    /** The record that was handed on last, while the next batch is being read. */
    let readTo: number | null = null;

    const handDue = () => {
      for (let line = batch[next]; line && !closed && line.at <= clock.now(); line = batch[next]) {
        next += 1;
        handOn(handlers, line);
      }
    };
    const until = (at: number) =>
      new Promise<void>((resolve) => {
        const cancel = clock.after(at - clock.now(), resolve);
        wake = () => {
          cancel();
          resolve();
        };
      });
    const playBatch = async (lines: CaptureLine[]) => {
      batch = lines.filter(({ direction }) => direction === '<' || direction === '@');
      next = 0;
      readTo = null;
      for (handDue(); !closed && next < batch.length; handDue()) await until(batch[next]?.at ?? 0);
      readTo = batch.at(-1)?.at ?? null;
    };
    const play = async () => {
      handlers.standing('connecting', `Opening ${path}.`);
      const batches = readCapture(path);
      for (let started = false; !closed; started = true) {
        const read = await batches.next().catch((error: Error) => error);
        if (closed) break;
        if (read instanceof Error) return handlers.standing('unplugged', read.message);
        if (!started) handlers.standing('open', `Playing ${path}.`);
        if (read.done) return handlers.standing('finished', `${path} has been played to its end.`);
        for (let n = 0; n < read.value.bad; n += 1) handlers.dropped();
        await playBatch(read.value.lines);
      }
      await batches.return();
    };
    const played = play();

    return {
      name: basename(path).replace(/\s+/g, '-'),
      send: () => undefined,
      reopen: () => undefined,
      catchUp: () => {
        const now = clock.now();
        handDue();
        return readTo ?? now;
      },
      close: () => {
        closed = true;
        wake();
        return played;
      },
    };
  };
}

function handOn(handlers: LinkHandlers, { at, direction, link, text }: CaptureLine): void {
  if (direction === '<') {
    handlers.line(at, text, link);
    return;
  }
  let entry: unknown;
  try {
    entry = JSON.parse(text);
  } catch {
    handlers.dropped();
    return;
  }
  handlers.logged(at, entry);
}
