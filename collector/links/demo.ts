/** The demo kiln as a link: a whole firing of an invented kiln, at the pace of the clock that it is handed. */
import { MINUTE_MS } from '../../protocol/units.ts';
import type { Clock } from '../clock.ts';
import {
  type DemoBoard,
  type DemoEvent,
  openDemoBoard,
  runDemoBoard,
  tellDemoBoard,
} from '../demo-kiln/demo-board.ts';
import { DEMO_PROBES } from '../demo-kiln/probes.ts';
import type { LinkHandlers, OpenLink } from './link.ts';

export interface DemoLinkOptions {
  clock: Clock;
  /** The same seed gives the same firing. */
  seed: number;
  /** Between two readings of the board; 10 s unless told. */
  periodMs?: number;
}

/** Looks after the kiln each second of firing time, but not more often than this in real time. */
const WAKE_EVERY_MS = 1000;
const WAKE_AT_MOST_EVERY_REAL_MS = 8;
/** The board thinks this long before it answers. */
const ANSWER_MS = 20;
/** The link goes on for this long after the kiln was opened, so that the last readings are seen. */
const STAYS_OPEN_MS = 10 * MINUTE_MS;

function openDemoKiln(clock: Clock, seed: number, periodMs: number): DemoBoard {
  return openDemoBoard({
    seed,
    startMs: Math.ceil(clock.now()),
    board: 'demo-kiln',
    periodMs,
    keeps: 3600,
    probes: DEMO_PROBES,
    // One stall in the climb, by the commonest cause: overstoking (potters.org 114892).
    troubles: [{ what: 'choked-embers', from: { atC: 930 }, minutes: 65 }],
  });
}

/**
 * A firing from cold to unbricking: one stall in the climb, salting, soak, clam-up, days of cooling. Then the link
 * stands `finished`. Every line and entry has its own time, which is never ahead of the clock.
 */
export function demoLink({ clock, seed, periodMs = 10_000 }: DemoLinkOptions): OpenLink {
  return (handlers) => {
    const board = openDemoKiln(clock, seed, periodMs);
    const cancels = new Set<() => void>();
    let endsAt = Number.POSITIVE_INFINITY;

    const later = (delayMs: number, fn: () => void): void => {
      const cancel = clock.after(delayMs, () => {
        cancels.delete(cancel);
        fn();
      });
      cancels.add(cancel);
    };
    const stop = (): void => {
      for (const cancel of cancels) cancel();
      cancels.clear();
    };
    let opened = false;
    /** Up to when all has been handed on: the making of it takes its time, and the clock goes on meanwhile. */
    let caughtUpTo = Number.NEGATIVE_INFINITY;
    const catchUp = (): number => {
      const now = clock.now();
      if (!opened) return now;
      caughtUpTo = now;
      for (const event of runDemoBoard(board, Math.min(now, endsAt))) {
        if (event.at > endsAt) break;
        handOn(handlers, event);
        if (event.kind === 'logged' && event.entry.log === 'unbricked') endsAt = event.at + STAYS_OPEN_MS;
      }
      return now;
    };
    const wake = (): void => {
      catchUp();
      if (caughtUpTo < endsAt) {
        later(Math.max(WAKE_EVERY_MS, WAKE_AT_MOST_EVERY_REAL_MS * clock.rate), wake);
        return;
      }
      stop();
      handlers.standing(
        'finished',
        'The demo kiln has been fired, cooled and opened: start it again to fire another.',
      );
    };
    const answer = (line: string): void => {
      catchUp();
      for (const text of tellDemoBoard(board, line)) handlers.line(Math.floor(caughtUpTo), text);
    };

    later(0, () => {
      opened = true;
      handlers.standing('open', 'The demo kiln is at work: nothing here is real.');
      wake();
    });
    return {
      name: 'demo',
      send: (line) => {
        if (clock.now() < endsAt) later(ANSWER_MS, () => answer(line));
      },
      reopen: () => undefined,
      catchUp,
      close: async () => stop(),
    };
  };
}

function handOn(handlers: LinkHandlers, event: DemoEvent): void {
  if (event.kind === 'line') handlers.line(event.at, event.text);
  else handlers.logged(event.at, event.entry);
}
