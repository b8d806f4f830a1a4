/** `spyhole watch` and `spyhole demo`: the collector itself, from the links to the pages, until it is stopped. */
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { defaultPlan, type Plan } from '../../protocol/plan.ts';
import { startTrouble } from '../archive/trouble.ts';
import type { Certificate } from '../https/keep.ts';
import { certificateFor, type HttpsWish, keepCertificate } from '../https/serve.ts';
import { ownCommand } from '../own-command.ts';
import { lanAddresses, ownHostNames, qrText } from '../server/addresses.ts';
import { announce, FOUND_AS } from '../server/found-by-name.ts';
import { type RunningServer, startServer } from '../server/server.ts';
import { kilnPath } from '../server/site.ts';
import { TRUST_PATH } from '../server/trust-site.ts';
import { createWays, type Ways } from '../ways/desk.ts';
import { openWays } from '../ways/open.ts';
import { ladderOf, readWaysSettings } from '../ways/settings.ts';
import { type Kiln, openKiln, type Source } from './kiln.ts';
import { PAGE_FOLDER } from './page-folder.ts';
import { checkedPlan, readPlanFile } from './plan-file.ts';
import { httpsFolder, pairingKey, pushFile, userDataFolder, waysFile } from './user-folders.ts';

export interface WatchOptions {
  /** At least one; the names of several are of a-z, 0-9 and -, that of a single one may be null. */
  kilns: readonly { name: string | null; source: Source; plan?: string }[];
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
  /** Serves the page over HTTPS as well: with the user's own certificate, else one of the local authority. */
  https: { port: number | null; given: { cert: string; key: string } | null } | null;
}

const HTTP_PORT = 8321;
const HTTPS_PORT = 8322;
/** While the disk does not take the end of a firing, it is tried again so often. */
const CLOSE_AGAIN_MS = 5000;
/** A clock that says less has not been set since the computer was switched on. */
const BEFORE_SPYHOLE = Date.UTC(2025, 0, 1);
/** Signals so close together are one: a shell and npm may both hand on the same Ctrl-C. */
const ONE_SIGNAL_MS = 1000;

const say = (text: string) => process.stderr.write(`${text}\n`);

/** Runs until a signal stops it. Rejects with one sentence if it cannot begin. */
export async function watchCommand(options: WatchOptions): Promise<void> {
  const keeps = options.data !== undefined || options.kilns.some(({ source }) => source.kind === 'board');
  const dataFolder = options.data ?? (keeps ? userDataFolder() : await temporaryFolder());
  // Started with nohup, say, its words in a file: then the end of a terminal is nothing to it.
  if (!process.stderr.isTTY) process.on('SIGHUP', () => undefined);
  try {
    await watchIn(dataFolder, options, keeps);
  } finally {
    if (!keeps) await rm(dataFolder, { recursive: true, force: true });
  }
}

function temporaryFolder(): Promise<string> {
  return mkdtemp(join(tmpdir(), 'spyhole-')).catch((cause: unknown) => {
    throw startTrouble(cause, tmpdir());
  });
}

async function watchIn(dataFolder: string, options: WatchOptions, keeps: boolean): Promise<void> {
  if (Date.now() < BEFORE_SPYHOLE)
    say(
      `This computer's clock says ${new Date().toISOString().slice(0, 10)}: set it, or the firing is kept under a wrong date.`,
    );
  const settings = await readWaysSettings(waysFile());
  const wish: HttpsWish = {
    folder: httpsFolder(),
    given: options.https?.given ?? null,
    names: () => [...(options.lan ? [FOUND_AS] : []), ...ownHostNames()],
  };
  const certificate = options.https === null ? null : await certificateFor(wish);
  let kilns: Kiln[] = [];
  const opened = await openWays({
    settings,
    settingsPath: waysFile(),
    pushPath: pushFile(),
    real: options.kilns.some(({ source }) => source.kind === 'board'),
    secure: certificate !== null,
    say,
    pathOf: (kiln) =>
      kilnPath(options.kilns.find(({ name }) => name === kiln)?.name ?? options.kilns[0]?.name ?? null),
  });
  const ways = createWays({
    ...opened,
    ladder: ladderOf(settings),
    secure: () => (server?.securePort ? { port: server.securePort, trustPath: TRUST_PATH } : null),
    monotonicMs: () => performance.now(),
    wallMs: Date.now,
    onPhones: (text) => {
      for (const kiln of kilns) kiln.phonesSilent(text);
    },
    say,
  });
  let server: RunningServer | null = null;
  const serving = (running: RunningServer) => {
    server = running;
  };
  try {
    kilns = await openKilns(dataFolder, options, ways, keeps);
    await serveKilns(kilns, options, { ways, certificate, wish, serving });
  } finally {
    await ways.close();
    for (const kiln of kilns) await kiln.unlock();
  }
}

/** All of them, or none: a kiln that cannot begin keeps none of the others' folders. */
async function openKilns(
  dataFolder: string,
  options: WatchOptions,
  ways: Ways,
  keeps: boolean,
): Promise<Kiln[]> {
  const kilns: Kiln[] = [];
  try {
    for (const { name, source, plan } of options.kilns) {
      kilns.push(
        await openKiln({
          name,
          source,
          // Each kiln has a folder of its own, with its firings, its lock and its marks.
          dataFolder: name === null ? dataFolder : join(dataFolder, name),
          plan: await planFor(options, source, name === null ? (plan ?? options.plan) : plan),
          fresh: options.fresh,
          // Nothing invented comes into a folder that somebody keeps.
          invents: source.kind === 'demo' && !keeps,
          ways: ways.kiln,
          say: name === null ? say : (text) => say(`${name}: ${text}`),
        }),
      );
    }
  } catch (cause) {
    for (const kiln of kilns) await kiln.abandon();
    throw cause;
  }
  return kilns;
}

interface Around {
  ways: Ways;
  certificate: Certificate | null;
  wish: HttpsWish;
  serving(server: RunningServer): void;
}

async function serveKilns(
  kilns: readonly Kiln[],
  options: WatchOptions,
  { ways, certificate, wish, serving }: Around,
): Promise<void> {
  const [first] = kilns;
  if (first === undefined) throw new Error('There is no kiln to watch.');
  const key = await pairingKey(say);
  const server = await startServer({
    kilns: kilns.map(({ served }) => served),
    clock: first.clock,
    staticFolder: PAGE_FOLDER,
    port: options.httpPort ?? HTTP_PORT,
    portAsked: options.httpPort !== null,
    lan: options.lan,
    pairingKey: key,
    secure:
      certificate === null
        ? undefined
        : {
            cert: certificate.cert,
            key: certificate.key,
            authority: certificate.authority?.cert ?? null,
            port: options.https?.port ?? HTTPS_PORT,
            portAsked: options.https?.port !== null,
          },
    names: options.lan ? [FOUND_AS] : [],
    ways,
    onTrouble: say,
  }).catch(async (cause: unknown) => {
    for (const kiln of kilns) await kiln.abandon();
    throw cause;
  });
  serving(server);
  const unwatched = certificate && keepCertificate(wish, certificate, server.renew, say);
  const unannounced = options.lan
    ? announce({ port: server.port, securePort: server.securePort, title: 'Spyhole' }, say)
    : null;
  for (const kiln of kilns) kiln.watch();
  const [lanAddress] = lanAddresses();
  const phoneUrl = lanAddress === undefined ? null : `http://${lanAddress}:${server.port}/?key=${key}`;
  const over = stopped();
  await greet(server.urls, phoneUrl, options);
  if (options.lan) say(`   In most networks also:  http://${FOUND_AS}:${server.port}/`);
  if (certificate !== null) tellSecure(certificate, server, options.lan);
  await over;
  unwatched?.();
  await unannounced?.();
  say(kilns.length === 1 ? 'Closing the firing …' : 'Closing the firings …');
  // The pages first: what they log from now on they keep, and send when the collector is back.
  await server.close();
  let open = await stillOpen(kilns);
  if (open.length === 0) return;
  say(
    'Not all of the firing is on the disk yet, and Spyhole waits for the disk. A second Ctrl-C ends it all the same, and what is not written is lost.',
  );
  while (open.length > 0) {
    await sleep(CLOSE_AGAIN_MS);
    open = await stillOpen(open);
  }
}

/** Closes them; those of which not all is on the disk yet are to be closed again. */
async function stillOpen(kilns: readonly Kiln[]): Promise<Kiln[]> {
  const done = await Promise.all(kilns.map((kiln) => kiln.close()));
  return kilns.filter((_, i) => !done[i]);
}

async function planFor(
  { name, plain }: WatchOptions,
  source: Source,
  file: string | undefined,
): Promise<Plan> {
  const read = file === undefined ? defaultPlan() : await readPlanFile(file);
  const called = name ?? (file === undefined && source.kind !== 'board' ? source.kind : read.name);
  return checkedPlan(
    { ...read, name: called, plainBoard: plain ?? read.plainBoard },
    'The plan of this firing',
  );
}

function tellSecure({ authority }: Certificate, { port, securePort }: RunningServer, lan: boolean): void {
  const [address = '127.0.0.1'] = lan ? lanAddresses() : [];
  say(`   Over HTTPS:  https://${address}:${securePort}/`);
  if (authority === null) return;
  say(`   For that a phone must trust this collector, once:  http://${address}:${port}${TRUST_PATH}`);
  say(`   It shows this fingerprint, or it is not this collector:\n   ${authority.fingerprint}`);
}

async function greet(urls: string[], phoneUrl: string | null, { lan, kilns }: WatchOptions): Promise<void> {
  const [first = ''] = urls;
  const source = kilns[0]?.source;
  if (source?.kind === 'demo') {
    say('');
    say(`   THIS IS A DEMO KILN, running ${source.speed} times as fast as a real one.`);
    say(
      `   For a real board:  ${ownCommand('watch --port /dev/ttyUSB0')}   (${ownCommand('ports')} lists the ports)`,
    );
  }
  say('');
  say(
    `   The ${kilns.length > 1 ? "kilns' page" : "kiln's page"}:  ${lan ? urls.join('\n                     ') : first}`,
  );
  say('');
  if (phoneUrl !== null) say(await qrText(phoneUrl, process.stderr.isTTY));
  say(
    phoneUrl === null
      ? '   This computer is in no network yet: for a phone at the woodpile, join one and start again with --lan.'
      : lan
        ? '   The code opens the page on a phone in the same network.'
        : `   The code is for the phone at the woodpile. It works once you start with --lan:  ${ownCommand('--lan')}\n   Until then the page is open to this machine only.`,
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
