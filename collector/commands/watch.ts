/** `spyhole watch` and `spyhole demo`: the collector itself, from the link to the page, until it is stopped. */
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { defaultPlan, type Plan } from '../../protocol/plan.ts';
import { findRunning, lastSeen } from '../archive/firings.ts';
import type { PlanFile } from '../archive/rows.ts';
import { startTrouble } from '../archive/trouble.ts';
import { sleepMeter } from '../asleep.ts';
import { type Clock, systemClock } from '../clock.ts';
import { type Firing, type FiringSettings, newFiringOnDisk, pickUpFiring } from '../firing/begin.ts';
import { ONLY_LINK } from '../firing/beginning.ts';
import { lockDataFolder } from '../firing/lock.ts';
import { startWatch, type Watch } from '../firing/watch.ts';
import { captureLink } from '../links/capture-link.ts';
import { captureStart } from '../links/capture-reader.ts';
import { demoLink } from '../links/demo.ts';
import type { OpenLink } from '../links/link.ts';
import { serialLink } from '../links/serial.ts';
import { lanAddresses, qrText } from '../server/addresses.ts';
import { createPastFirings } from '../server/past-firings.ts';
import { startServer } from '../server/server.ts';
import { checkedPlan, readPlanFile } from './plan-file.ts';
import { pairingKey, userDataFolder } from './user-folders.ts';

/** What feeds the collector. */
export type Source =
  | { kind: 'board'; path: string; baudRate: number; clockRate: number }
  | { kind: 'capture'; path: string; speed: number }
  | { kind: 'demo'; speed: number; seed: number };

export interface WatchOptions {
  source: Source;
  /** Where firings are kept; the user's own folder, or for the demo a temporary one, unless told. */
  data?: string;
  name?: string;
  plan?: string;
  plain?: Plan['plainBoard'];
  /** Begin a new firing even if one is running. */
  fresh: boolean;
  lan: boolean;
  /** Null: 8321, or the next that is free. */
  httpPort: number | null;
}

const HTTP_PORT = 8321;
/** While the disk does not take the end of a firing, it is tried again so often. */
const CLOSE_AGAIN_MS = 5000;
/** A clock that says less has not been set since the computer was switched on. */
const BEFORE_SPYHOLE = Date.UTC(2025, 0, 1);
/** Signals so close together are one: a shell and npm may both hand on the same Ctrl-C. */
const ONE_SIGNAL_MS = 1000;
/** The bundle of the page lies beside the bundle of the collector. */
const PAGE_FOLDER = join(dirname(dirname(fileURLToPath(import.meta.url))), 'page');

const say = (text: string) => process.stderr.write(`${text}\n`);

/** Runs until a signal stops it. Rejects with one sentence if it cannot begin. */
export async function watchCommand(options: WatchOptions): Promise<void> {
  const { source } = options;
  const keeps = source.kind === 'board' || options.data !== undefined;
  const dataFolder = options.data ?? (keeps ? userDataFolder() : await temporaryFolder());
  // Started with nohup, say, its words in a file: then the end of a terminal is nothing to it.
  if (!process.stderr.isTTY) process.on('SIGHUP', () => undefined);
  const unlock = await lockDataFolder(dataFolder);
  try {
    await watchIn(dataFolder, options);
  } finally {
    await unlock();
    if (!keeps) await rm(dataFolder, { recursive: true, force: true });
  }
}

function temporaryFolder(): Promise<string> {
  return mkdtemp(join(tmpdir(), 'spyhole-')).catch((cause: unknown) => {
    throw startTrouble(cause, tmpdir());
  });
}

async function watchIn(dataFolder: string, options: WatchOptions): Promise<void> {
  const { source } = options;
  const running =
    source.kind === 'board' && !options.fresh ? await findRunning(dataFolder, Date.now()) : null;
  const clock = await clockFor(
    source,
    running === null ? 0 : ((await lastSeen(join(dataFolder, running))) ?? 0),
  );
  let watch: Watch | null = null;
  const settings: FiringSettings = {
    clock,
    dataFolder,
    plan: await planFor(options),
    source: source.kind satisfies PlanFile['source'],
    run: `${process.pid.toString(36)}-${Date.now().toString(36)}`,
    onTrouble: (text) => {
      say(text ?? 'The archive is written again.');
      watch?.trouble(text);
    },
    say,
  };
  if (Date.now() < BEFORE_SPYHOLE)
    say(
      `This computer's clock says ${new Date().toISOString().slice(0, 10)}: set it, or the firing is kept under a wrong date.`,
    );
  const key = await pairingKey(say);
  const firing =
    running === null
      ? await newFiringOnDisk(settings)
      : await pickUpFiring(settings, join(dataFolder, running));
  say(running === null ? `A new firing: ${firing.archive.folder}` : `Going on with ${firing.archive.folder}`);
  const server = await startServer({
    feed: firing.feed,
    clock,
    firings: createPastFirings(dataFolder, say),
    staticFolder: PAGE_FOLDER,
    port: options.httpPort ?? HTTP_PORT,
    portAsked: options.httpPort !== null,
    lan: options.lan,
    pairingKey: key,
    onLog: async (entry, where) =>
      watch === null ? 'The collector is still starting.' : watch.log(entry, where),
    onTrouble: say,
  }).catch(async (cause: unknown) => {
    // A firing that never began is not left behind, to be gone on with at the next start.
    await firing.archive.close();
    if (running === null) await rm(firing.archive.folder, { recursive: true, force: true });
    throw cause;
  });
  watch = startWatch(
    {
      ...firing,
      clock,
      source: settings.source,
      links: [{ name: ONLY_LINK, open: linkFor(source, clock) }],
      ...(source.kind === 'board' ? { wallNow: Date.now } : {}),
      say,
    },
    firing.beginning,
  );
  beginWithPlan(firing, watch);
  const [lanAddress] = lanAddresses();
  const phoneUrl = lanAddress === undefined ? null : `http://${lanAddress}:${server.port}/?key=${key}`;
  const over = stopped();
  await greet(server.urls, phoneUrl, options, source);
  await over;
  say('Closing the firing …');
  // The pages first: what they log from now on they keep, and send when the collector is back.
  await server.close();
  if (await watch.close()) return;
  say(
    'Not all of the firing is on the disk yet, and Spyhole waits for the disk. A second Ctrl-C ends it all the same, and what is not written is lost.',
  );
  do await sleep(CLOSE_AGAIN_MS);
  while (!(await watch.close()));
}

/** The plan is the first entry of a firing's log: a firing can be computed again from its archive alone. */
function beginWithPlan({ newPlan }: Firing, watch: Watch): void {
  if (newPlan === null) return;
  const refused = watch.log({ ...newPlan, log: 'plan' }, 'collector');
  if (refused !== null) say(refused);
}

async function planFor({ plan, name, plain, source }: WatchOptions): Promise<Plan> {
  const read = plan === undefined ? defaultPlan() : await readPlanFile(plan);
  const called = name ?? (plan === undefined && source.kind !== 'board' ? source.kind : read.name);
  return checkedPlan(
    { ...read, name: called, plainBoard: plain ?? read.plainBoard },
    'The plan of this firing',
  );
}

/** A firing that goes on never goes back in time, wherever the system's clock stands by now. */
async function clockFor(source: Source, lastSeenMs: number): Promise<Clock> {
  switch (source.kind) {
    case 'board':
      return systemClock(Math.max(Date.now(), lastSeenMs + 1), source.clockRate, sleepMeter());
    case 'capture':
      return systemClock(await captureStart(source.path), source.speed);
    case 'demo':
      return systemClock(Date.now(), source.speed);
  }
}

function linkFor(source: Source, clock: Clock): OpenLink {
  switch (source.kind) {
    case 'board':
      return serialLink({ path: source.path, baudRate: source.baudRate, clock });
    case 'capture':
      return captureLink({ path: source.path, clock });
    case 'demo':
      return demoLink({ clock, seed: source.seed });
  }
}

async function greet(
  urls: string[],
  phoneUrl: string | null,
  { lan }: WatchOptions,
  source: Source,
): Promise<void> {
  const [first = ''] = urls;
  if (source.kind === 'demo') {
    say('');
    say(`   THIS IS A DEMO KILN, running ${source.speed} times as fast as a real one.`);
    say(
      '   For a real board:  npm start -- watch --port /dev/ttyUSB0   (npm start -- ports lists the ports)',
    );
  }
  say('');
  say(`   The kiln's page:  ${lan ? urls.join('\n                     ') : first}`);
  say('');
  if (phoneUrl !== null) say(await qrText(phoneUrl, process.stderr.isTTY));
  say(
    phoneUrl === null
      ? '   This computer is in no network yet: for a phone at the woodpile, join one and start again with --lan.'
      : lan
        ? '   The code opens the page on a phone in the same network.'
        : '   The code is for the phone at the woodpile. It works once you start with --lan:  npm start -- --lan\n   Until then the page is open to this machine only.',
  );
  say('   Stop with Ctrl-C.');
}

/** Until somebody stops the collector; a second signal ends it at once. */
function stopped(): Promise<void> {
  return new Promise((resolve) => {
    let firstAt: number | null = null;
    const stop = () => {
      if (firstAt !== null && performance.now() - firstAt > ONE_SIGNAL_MS) process.exit(130);
      firstAt ??= performance.now();
      resolve();
    };
    for (const signal of ['SIGINT', 'SIGTERM'] as const) process.on(signal, stop);
    // The terminal has gone, which more than one may tell: none of them ends the closing.
    if (process.stderr.isTTY) process.on('SIGHUP', () => (firstAt === null ? stop() : undefined));
  });
}
