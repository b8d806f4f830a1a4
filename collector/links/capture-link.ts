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

    const reached = async (at: number) => {
      while (!closed && clock.now() < at)
        await new Promise<void>((resolve) => {
          const cancel = clock.after(at - clock.now(), resolve);
          wake = () => {
            cancel();
            resolve();
          };
        });
    };
    const play = async () => {
      handlers.standing('connecting', `Opening ${path}.`);
      const batches = readCapture(path);
      for (let started = false; !closed; started = true) {
        const next = await batches.next().catch((error: Error) => error);
        if (closed) break;
        if (next instanceof Error) return handlers.standing('unplugged', next.message);
        if (!started) handlers.standing('open', `Playing ${path}.`);
        if (next.done) return handlers.standing('finished', `${path} has been played to its end.`);
        for (let n = 0; n < next.value.bad; n += 1) handlers.dropped();
        for (const line of next.value.lines) {
          if (line.direction !== '<' && line.direction !== '@') continue;
          await reached(line.at);
          if (closed) break;
          handOn(handlers, line);
        }
      }
      await batches.return();
    };
    const played = play();

    return {
      name: basename(path).replace(/\s+/g, '-'),
      send: () => undefined,
      reopen: () => undefined,
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
