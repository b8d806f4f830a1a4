/** One kiln of the collector: its folder, its clock, its firing and its links. */
import { rm } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { BROWSER_PORT } from '../../protocol/browser-link.ts';
import type { Plan } from '../../protocol/plan.ts';
import { findRunning, lastSeen } from '../archive/firings.ts';
import type { PlanFile } from '../archive/rows.ts';
import { sleepMeter } from '../asleep.ts';
import { newChecker } from '../board-check/checker.ts';
import { type Tap, tapLink } from '../board-check/tap.ts';
import { type Clock, systemClock, waitingMs } from '../clock.ts';
import { newFiringOnDisk, pickUpFiring } from '../firing/begin.ts';
import { ONLY_LINK } from '../firing/beginning.ts';
import { leaveMark, markedTime } from '../firing/clock-mark.ts';
import { lockDataFolder } from '../firing/lock.ts';
import { startWatch, type Watch } from '../firing/watch.ts';
import { createImportBook, ownZone } from '../import/book.ts';
import { bleLink } from '../links/ble.ts';
import { browserLink, closedDoor } from '../links/browser-link.ts';
import { captureLink } from '../links/capture-link.ts';
import { captureStart } from '../links/capture-reader.ts';
import { demoLink } from '../links/demo.ts';
import type { Gatt, GattTarget } from '../links/gatt.ts';
import type { OpenLink } from '../links/link.ts';
import { letDtrFall } from '../links/port.ts';
import { serialLink } from '../links/serial.ts';
import { ownCommand } from '../own-command.ts';
import { createPastFirings } from '../server/past-firings.ts';
import type { ServedKiln } from '../server/server.ts';
import type { KilnWays } from '../ways/desk.ts';
import { withInvented } from './inventing.ts';

/** What feeds a kiln's firing. A board has a port; a long kiln may have several boards. */
export type Source =
  | {
      kind: 'board';
      ports: readonly string[];
      baudRate: number;
      clockRate: number;
      /** A board over Bluetooth low energy, and the radio to reach it. */
      ble?: { target: GattTarget; gatt: Gatt };
      /** Where a board's line is over Bluetooth, for a browser that reads it. */
      browserBle?: Omit<GattTarget, 'device'> | null;
    }
  | { kind: 'capture'; path: string; speed: number }
  | { kind: 'demo'; speed: number; seed: number };

export interface KilnOptions {
  /** Null for the only one. */
  name: string | null;
  source: Source;
  dataFolder: string;
  plan: Plan;
  /** Begin a new firing even if one is running. */
  fresh: boolean;
  /** Past firings are invented for whoever asks for them. */
  invents?: boolean;
  /** The ways that its alerts reach a person, by the kiln's name. */
  ways?: (kiln: string) => KilnWays;
  say: (text: string) => void;
}

export interface Kiln {
  served: ServedKiln;
  clock: Clock;
  /** Opens the links. */
  watch(): void;
  /** Which armed phones are silent, in a sentence, or that none is. */
  phonesSilent(text: string | null): void;
  /** It is not going to begin: a firing that never did is not left behind. */
  abandon(): Promise<void>;
  /** Stops. False: not all is on the disk yet; called again it is tried again. */
  close(): Promise<boolean>;
  /** Lets the folder go. */
  unlock(): Promise<void>;
}

const NOT_BY_BROWSER = `The kiln's computer reads its board itself. For a browser to read it, start it with ${ownCommand('watch --port browser')}.`;
/** How often the firing's time is marked on the computer's own clock. */
const MARK_EVERY_MS = 20_000;

/** Takes the kiln's folder and begins its firing, or goes on with it. Rejects with one sentence. */
export async function openKiln(options: KilnOptions): Promise<Kiln> {
  const unlock = await lockDataFolder(options.dataFolder);
  try {
    return await openIn(options, unlock);
  } catch (cause) {
    await unlock();
    throw cause;
  }
}

async function openIn(options: KilnOptions, unlock: () => Promise<void>): Promise<Kiln> {
  const { name, source, dataFolder, plan, fresh, say } = options;
  const isBoard = source.kind === 'board';
  const markedMs = isBoard ? await markedTime(dataFolder, source.clockRate) : null;
  const running = isBoard && !fresh ? await findRunning(dataFolder, markedMs ?? Date.now()) : null;
  const clock = await clockFor(
    source,
    running === null ? null : { markedMs, lastSeenMs: (await lastSeen(join(dataFolder, running))) ?? 0 },
  );
  let watch: Watch | null = null;
  const settings = {
    clock,
    dataFolder,
    plan,
    source: source.kind satisfies PlanFile['source'],
    kiln: name,
    run: `${process.pid.toString(36)}-${Date.now().toString(36)}`,
    onTrouble: (text: string | null) => {
      say(text ?? 'The archive is written again.');
      watch?.trouble(text);
    },
    say,
  };
  const firing =
    running === null
      ? await newFiringOnDisk(settings)
      : await pickUpFiring(settings, join(dataFolder, running));
  say(running === null ? `A new firing: ${firing.archive.folder}` : `Going on with ${firing.archive.folder}`);
  const mark = () => (isBoard ? leaveMark(dataFolder, clock.now()) : Promise.resolve());
  let marking: NodeJS.Timeout | undefined;
  const ways = options.ways?.(name ?? plan.name);
  ways?.lamp(() => (watch === null ? 'The collector is still starting.' : watch.tryLamp()));
  const browser =
    isBoard && source.ports.includes(BROWSER_PORT)
      ? browserLink({ clock, baudRate: source.baudRate, ble: source.browserBle ?? null })
      : null;
  const links = linksFor(source, clock, plan.plainBoard, browser?.openLink ?? null);
  const past = createPastFirings(dataFolder, say, createImportBook(dataFolder, ownZone()));
  const invented = options.invents ? withInvented(past, dataFolder) : null;

  return {
    served: {
      name,
      feed: firing.feed,
      firings: invented?.firings ?? past,
      onLog: async (entry, where) =>
        watch === null ? 'The collector is still starting.' : watch.log(entry, where),
      onCheck: newChecker({
        taps: links.map(({ tap }) => tap),
        stage: () => firing.beginning.pipeline.core.stage.stage,
        real: isBoard,
      }),
      readers: browser?.door ?? closedDoor(NOT_BY_BROWSER),
    },
    clock,
    watch() {
      watch = startWatch(
        {
          ...firing,
          clock,
          source: settings.source,
          links: links.map(({ name: called, tap }) => ({ name: called, open: tap.openLink })),
          ...(isBoard ? { wallNow: Date.now } : {}),
          ...(ways ? { ways } : {}),
          say,
        },
        firing.beginning,
      );
      // The plan is the first entry of a firing's log: a firing can be computed again from its archive alone.
      const refused =
        firing.newPlan === null ? null : watch.log({ ...firing.newPlan, log: 'plan' }, 'collector');
      if (refused !== null) say(refused);
      void mark();
      marking = setInterval(() => void mark(), MARK_EVERY_MS);
    },
    phonesSilent: (text) => watch?.trouble(text, 'phones'),
    async abandon() {
      await firing.archive.close();
      if (running === null) await rm(firing.archive.folder, { recursive: true, force: true });
      await unlock();
    },
    async close() {
      if (marking !== undefined) await mark();
      clearInterval(marking);
      marking = undefined;
      invented?.stop();
      return watch === null ? firing.archive.close() : watch.close();
    },
    unlock,
  };
}

/**
 * A firing that goes on never goes back in time, wherever the system's clock stands by now; while the computer has run
 * through, its own uptime says how much time has gone by.
 */
async function clockFor(
  source: Source,
  goesOn: { markedMs: number | null; lastSeenMs: number } | null,
): Promise<Clock> {
  switch (source.kind) {
    case 'board': {
      const nowMs = goesOn?.markedMs ?? Date.now();
      return systemClock(Math.max(nowMs, (goesOn?.lastSeenMs ?? 0) + 1), source.clockRate, sleepMeter());
    }
    case 'capture':
      return systemClock(await captureStart(source.path), source.speed);
    case 'demo':
      return systemClock(Date.now(), source.speed, undefined, waitingMs(source.speed));
  }
}

/** A link of the firing, with the check before lighting listening in on it. */
interface TappedLink {
  /** As captures call it. */
  name: string;
  tap: Tap;
}

function linksFor(
  source: Source,
  clock: Clock,
  plain: Plan['plainBoard'],
  browser: OpenLink | null,
): TappedLink[] {
  const one = (shown: string, open: OpenLink): TappedLink[] => [
    { name: ONLY_LINK, tap: tapLink(open, { name: shown, clock, plain }) },
  ];
  switch (source.kind) {
    case 'board': {
      const { ports, baudRate, ble } = source;
      const names = linkNames([...ports, ...(ble ? [ble.target.device] : [])]);
      const wired = ports.map((path) =>
        path === BROWSER_PORT && browser !== null
          ? tapLink(browser, { name: BROWSER_PORT, clock, plain })
          : tapLink(serialLink({ path, baudRate, clock }), {
              name: basename(path),
              clock,
              plain,
              beforeReopen: () => letDtrFall(path),
            }),
      );
      const wireless = ble
        ? [tapLink(bleLink({ ...ble, clock }), { name: ble.target.device, clock, plain })]
        : [];
      return [...wired, ...wireless].map((tap, i) => ({ name: names[i] ?? ONLY_LINK, tap }));
    }
    case 'capture':
      return one('capture', captureLink({ path: source.path, clock }));
    case 'demo':
      return one('demo', demoLink({ clock, seed: source.seed }));
  }
}

/** A link's name goes into captures, and for a plain board into its own: short and without a space. */
const SHORT_NAME = /^[\w.-]{1,10}$/;

/** What the links of a firing are called: '' for the only one, else by their ports, or counted where those are long or alike. */
export function linkNames(ports: readonly string[]): string[] {
  if (ports.length < 2) return ports.map(() => ONLY_LINK);
  const short = ports.map((path) => basename(path));
  return short.map((name, i) =>
    SHORT_NAME.test(name) && short.indexOf(name) === short.lastIndexOf(name) ? name : `port-${i + 1}`,
  );
}
