/** `spyhole board`: the check before lighting, on the command line. */
import { basename } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import type { BoardFacts } from '../../protocol/board-facts.ts';
import type { LinkStanding } from '../../protocol/live-messages.ts';
import type { Plan } from '../../protocol/plan.ts';
import { boardReport } from '../board-check/report.ts';
import { type Tap, tapLink } from '../board-check/tap.ts';
import { type Clock, systemClock } from '../clock.ts';
import { judge } from '../core/board-check/judge.ts';
import { bleLink } from '../links/ble.ts';
import type { Gatt, GattTarget } from '../links/gatt.ts';
import type { Link, OpenLink } from '../links/link.ts';
import { letDtrFall } from '../links/port.ts';
import { type FoundPort, listPorts, portsTable } from '../links/ports.ts';
import { serialLink } from '../links/serial.ts';

export interface BoardOptions {
  /** Left out: the single port that is likely a board. */
  port?: string;
  /** A board over Bluetooth low energy instead. */
  ble: { target: GattTarget; gatt: Gatt } | null;
  baudRate: number;
  /** How long to listen. */
  seconds: number;
  /** Shut the port and open it again, and see whether the board has kept its boot. */
  reopen: boolean;
  /** The same, with the cable pulled by hand. */
  pull: boolean;
  /** Print facts and verdict as JSON. */
  json: boolean;
  plain: Plan['plainBoard'];
}

const LOOK_EVERY_MS = 50;
/** Bluetooth may take its time; a port that does not open says so at once. */
const OPEN_WITHIN_MS = 40_000;
const CLOSE_WITHIN_MS = 5_000;
const HELLO_WITHIN_MS = 20_000;
const PULL_WITHIN_MS = 120_000;
/** A slow board gets so many times longer, until a verdict can be had. */
const LONGEST = 4;

/** Exit status: 0 fit for a firing, 1 not fit yet, 2 it could not be checked. */
type Status = 0 | 1 | 2;

const say = (text: string) => process.stderr.write(`${text}\n`);

/** Checks one board and prints what it found on stdout. */
export async function boardCommand(options: BoardOptions): Promise<Status> {
  const clock = systemClock(Date.now());
  const print = (text: string) => process.stdout.write(text);
  const { ble } = options;
  if (ble !== null) {
    const name = ble.target.device;
    return checkBoard(bleLink({ ...ble, clock }), { ...options, name, clock, print });
  }
  const path = options.port ?? chosenPort(await listPorts());
  if (path === null) return 2;
  return checkBoard(serialLink({ path, baudRate: options.baudRate, clock }), {
    ...options,
    name: basename(path),
    clock,
    beforeReopen: () => letDtrFall(path),
    print,
  });
}

/** The single likely port; null, and a sentence, where there is none or several. */
function chosenPort(ports: FoundPort[]): string | null {
  const likely = ports.filter((port) => port.likely);
  const [first, second] = likely;
  if (first !== undefined && second === undefined) {
    say(`Checking ${first.path} (${first.seems}).`);
    return first.path;
  }
  say(portsTable(ports).trimEnd());
  say(
    first === undefined
      ? 'No board is plugged in that is known for one: say which port with --port.'
      : 'There are several: say which with --port.',
  );
  return null;
}

interface CheckSettings extends Omit<BoardOptions, 'port' | 'baudRate' | 'ble'> {
  name: string;
  clock: Clock;
  beforeReopen?: () => Promise<void>;
  print(text: string): void;
}

/** The check over any link. */
export async function checkBoard(openLink: OpenLink, settings: CheckSettings): Promise<Status> {
  const { seconds, json, clock, reopen, pull, print } = settings;
  const tap = tapLink(openLink, settings);
  const stands: Pick<LinkStanding, 'state' | 'text'> = { state: 'connecting', text: '' };
  const link = tap.openLink({
    line: () => undefined,
    logged: () => undefined,
    dropped: () => undefined,
    standing: (state, text) => {
      Object.assign(stands, { state, text });
    },
  });
  const wait = (within: number, holds: () => boolean) => waitUntil(clock, within, tap, holds);
  try {
    await wait(OPEN_WITHIN_MS, () => stands.state !== 'connecting');
    if (stands.state !== 'open') {
      say(stands.text);
      return 2;
    }
    say(`Listening for ${seconds} seconds …`);
    const facts = await listen(tap, settings);
    if (facts === null) return 2;
    const cable = facts.hello === null ? null : await tryCable(tap, wait, { reopen, pull });
    const whole = { ...facts, cable, standing: stands.text };
    const judgement = judge(whole);
    print(json ? `${JSON.stringify({ facts: whole, ...judgement })}\n` : boardReport(whole, judgement));
    return judgement.verdict === 'fit' ? 0 : judgement.verdict === 'not-fit' ? 1 : 2;
  } finally {
    await closed(link);
  }
}

async function waitUntil(clock: Clock, within: number, tap: Tap, holds: () => boolean): Promise<boolean> {
  const until = clock.now() + within;
  while (!holds()) {
    if (clock.now() > until) return false;
    tap.ask();
    await sleep(LOOK_EVERY_MS);
  }
  return true;
}

async function listen(tap: Tap, { seconds, clock }: CheckSettings): Promise<BoardFacts | null> {
  const begun = clock.now();
  const facts = () => tap.facts(clock.now() - begun)[0] ?? null;
  const enough = () => {
    const heardMs = clock.now() - begun;
    const now = facts();
    return heardMs >= seconds * 1000 && now !== null && judge(now).verdict !== 'listening';
  };
  await waitUntil(clock, seconds * 1000 * LONGEST, tap, enough);
  return facts();
}

type Cable = BoardFacts['cable'];

async function tryCable(
  tap: Tap,
  wait: (within: number, holds: () => boolean) => Promise<boolean>,
  { reopen, pull }: { reopen: boolean; pull: boolean },
): Promise<Cable> {
  const cable = (): Cable => tap.facts()[0]?.cable ?? null;
  if (reopen) {
    say('Shutting the port and opening it again …');
    await tap.tryCable();
    await wait(HELLO_WITHIN_MS, () => typeof cable()?.remembers === 'boolean');
  }
  if (pull && (cable()?.remembers ?? true)) {
    say('Now pull the cable, wait a few seconds, and plug it in again.');
    const pulled = () => cable()?.how === 'pulled' && typeof cable()?.remembers === 'boolean';
    if (!(await wait(PULL_WITHIN_MS, pulled))) say('The cable was not pulled and plugged in again.');
  }
  return cable();
}

/** A link that hangs is not waited for: the program ends anyway. */
async function closed(link: Link): Promise<void> {
  await Promise.race([link.close(), sleep(CLOSE_WITHIN_MS, undefined, { ref: false })]);
}
