/**
 * An evening at the demo kiln whose potter writes nothing down: the collector as it is, with a clock that leaps ahead when
 * the test has nothing to do. Readings keep their own times, so that a leap is no gap.
 */
import { setTimeout as sleep } from 'node:timers/promises';
import { newChecker } from '../../../collector/board-check/checker.ts';
import { tapLink } from '../../../collector/board-check/tap.ts';
import { systemClock } from '../../../collector/clock.ts';
import { openDemoBoard, runDemoBoard, tellDemoBoard } from '../../../collector/demo-kiln/demo-board.ts';
import { newFiringOnDisk } from '../../../collector/firing/begin.ts';
import { startWatch } from '../../../collector/firing/watch.ts';
import type { LinkHandlers } from '../../../collector/links/link.ts';
import { createPastFirings } from '../../../collector/server/past-firings.ts';
import { startServer } from '../../../collector/server/server.ts';
import { parseBoardLine } from '../../../protocol/board-lines.ts';
import type { KnownLogEntry } from '../../../protocol/log-entries.ts';
import { defaultPlan } from '../../../protocol/plan.ts';

const MINUTE_MS = 60_000;
/** As far as the clock leaps before the pages are let in again: a deed is found so late. */
const LEAP_MS = 20 * MINUTE_MS;
const PERIOD_MS = 60_000;
const uv = { kind: 'uv' } as const;
export const PROBES = ['front-low', 'front-high', 'back-low', 'back-high'] as const;

/** What the kiln's own potter did, who keeps no log book. */
export interface Deed {
  at: number;
  entry: KnownLogEntry;
}

export interface Evening {
  url: string;
  folder: string;
  id: string;
  now(): number;
  /** All that was done at the kiln so far. */
  deeds: readonly Deed[];
  /** Seqs of all readings that the board has sent. */
  sent: ReadonlySet<number>;
  /** On to `at`, epoch ms. */
  leapTo(at: number): Promise<void>;
  /** On to the first deed of this kind, which is the answer. */
  leapToDeed(log: string, leapMs?: number): Promise<Deed>;
  close(): Promise<void>;
}

export interface EveningOptions {
  dataFolder: string;
  pageFolder: string;
  /** Epoch ms at which the board is switched on. */
  startMs: number;
}

export async function openEvening({ dataFolder, pageFolder, startMs }: EveningOptions): Promise<Evening> {
  const clock = systemClock(startMs);
  const say = () => undefined;
  const firing = await newFiringOnDisk({
    clock,
    dataFolder,
    plan: { ...defaultPlan(), name: 'evening' },
    source: 'board',
    run: 'evening',
    onTrouble: say,
    say,
  });
  const board = openDemoBoard({
    seed: 5,
    startMs,
    board: 'shed-1',
    periodMs: PERIOD_MS,
    keeps: 3600,
    probes: PROBES.map((name) => ({ spec: { name, couple: 'K', form: uv }, zone: name, noiseC: 0.5 })),
    troubles: [{ what: 'choked-embers', from: { atC: 930 }, minutes: 65 }],
  });
  const deeds: Deed[] = [];
  const sent = new Set<number>();
  /** What the board has said by now is handed on. */
  let catchUp: () => number = () => startMs;
  const openLink = (handlers: LinkHandlers) => {
    catchUp = () => {
      const now = clock.now();
      for (const event of runDemoBoard(board, now)) {
        if (event.kind === 'logged') {
          deeds.push({ at: event.at, entry: event.entry });
          continue;
        }
        const heard = parseBoardLine(event.text);
        if (heard.ok && heard.line.kind === 'reading') sent.add(heard.line.seq);
        handlers.line(event.at, event.text);
      }
      return now;
    };
    queueMicrotask(() => handlers.standing('open', 'The board is heard.'));
    return {
      name: 'ttyUSB0',
      send: (line: string) => {
        queueMicrotask(() => {
          for (const text of tellDemoBoard(board, line)) handlers.line(Math.floor(clock.now()), text);
        });
      },
      reopen: () => undefined,
      catchUp,
      close: async () => undefined,
    };
  };
  const tap = tapLink(openLink, { name: 'ttyUSB0', clock, plain: null });
  const watch = startWatch(
    { ...firing, clock, source: 'board', links: [{ name: '', open: tap.openLink }], say },
    firing.beginning,
  );
  watch.log({ ...firing.newPlan, log: 'plan' }, 'collector');
  const server = await startServer({
    kilns: [
      {
        name: null,
        feed: firing.feed,
        firings: createPastFirings(dataFolder, say),
        onLog: async (entry, where) => watch.log(entry, where),
        onCheck: newChecker({
          taps: [tap],
          stage: () => firing.beginning.pipeline.core.stage.stage,
          real: true,
        }),
      },
    ],
    clock,
    staticFolder: pageFolder,
    port: 0,
    portAsked: true,
    lan: false,
    pairingKey: 'draw-ring-key-0001',
    onTrouble: say,
  });

  async function leapTo(at: number, leapMs = LEAP_MS): Promise<void> {
    while (clock.now() < at) {
      const to = Math.min(at, clock.now() + leapMs);
      clock.skip(to - clock.now());
      catchUp();
      // The pages are given time as well.
      await sleep(20);
    }
  }

  return {
    url: server.urls[0] ?? '',
    folder: firing.archive.folder,
    id: firing.archive.id,
    now: () => clock.now(),
    deeds,
    sent,
    leapTo,
    async leapToDeed(log, leapMs = LEAP_MS) {
      for (;;) {
        const found = deeds.find(({ entry }) => entry.log === log);
        if (found) return found;
        await leapTo(clock.now() + leapMs, leapMs);
      }
    },
    async close() {
      await server.close();
      await watch.close();
    },
  };
}
