/** The command line. */
import { Command, InvalidArgumentError, Option } from 'commander';
import { z } from 'zod';
import { BROWSER_PORT } from '../protocol/browser-link.ts';
import type { Plan } from '../protocol/plan.ts';
import { COUPLE_TYPES } from '../protocol/probes.ts';
import { type BleOptions, bleLine, bleTarget } from './commands/ble-settings.ts';
import { boardCommand } from './commands/board.ts';
import { conesCommand } from './commands/cones.ts';
import { exportCommand } from './commands/export.ts';
import { importCommand } from './commands/import.ts';
import { inventFirings } from './commands/invented.ts';
import { INVENT } from './commands/inventing.ts';
import type { Source } from './commands/kiln.ts';
import { kilnsOf, planFileOf } from './commands/kiln-arguments.ts';
import { rerunCommand } from './commands/rerun.ts';
import { setUpBluetooth } from './commands/setup-bluetooth.ts';
import { sheetCommand } from './commands/sheet.ts';
import { bluetoothFolder, bluetoothSettings } from './commands/user-folders.ts';
import { type WatchOptions, watchCommand } from './commands/watch.ts';
import { tryWayCommand, waysCommand } from './commands/ways.ts';
import { errorCode } from './error-code.ts';
import type { Gatt, GattTarget } from './links/gatt.ts';
import { loadGatt } from './links/gatt-noble.ts';
import { listPorts, portsTable } from './links/ports.ts';
import { ownCommand } from './own-command.ts';

/** Fast enough that a newcomer sees the whole firing go by in a few minutes. */
const DEMO_SPEED = 240;
const BAUD_RATE = 115_200;
/** A firing of a week in six seconds, or a minute of it in an hour and a half: beyond, nothing is seen any more. */
const SPEEDS = { slowest: 0.01, fastest: 100_000 };

const positive = (text: string): number => numberOf(text, z.number().positive(), 'a number above 0');
const speed = (text: string): number =>
  numberOf(
    text,
    z.number().min(SPEEDS.slowest).max(SPEEDS.fastest),
    `a number from ${SPEEDS.slowest} to ${SPEEDS.fastest}`,
  );
const port = (text: string): number =>
  numberOf(text, z.number().int().min(1).max(65_535), 'a port from 1 to 65535');
const listening = (text: string): number =>
  numberOf(text, z.number().min(1).max(600), 'seconds from 1 to 600');
const whole = (text: string): number =>
  numberOf(
    text,
    z
      .number()
      .int()
      .min(0)
      .max(2 ** 32 - 1),
    'a whole number',
  );

function numberOf(text: string, schema: z.ZodNumber, what: string): number {
  const parsed = schema.safeParse(text.trim() === '' ? Number.NaN : Number(text));
  if (!parsed.success) throw new InvalidArgumentError(`It must be ${what}.`);
  return parsed.data;
}

/** `front,back` or `front:K,back:S`: what each number of a plain board is. */
function plainProbes(text: string): { name: string; couple: (typeof COUPLE_TYPES)[number] }[] {
  return text.split(',').map((probe) => {
    const match = /^([a-z0-9-]{1,16})(?::([BEJKNRST]))?$/.exec(probe.trim());
    if (!match?.[1])
      throw new InvalidArgumentError(
        'Give names of a-z, 0-9 and -, parted by commas: front,back or front:K,back:S.',
      );
    return { name: match[1], couple: COUPLE_TYPES.find((couple) => couple === match[2]) ?? 'K' };
  });
}

interface SharedOptions {
  data?: string;
  name?: string;
  plan?: string;
  new?: boolean;
  lan?: boolean;
  httpPort?: number;
  https?: boolean;
  httpsPort?: number;
  cert?: string;
  key?: string;
}

interface WatchArguments extends SharedOptions, BleOptions {
  port: string[];
  kiln: string[];
  capture?: string;
  baud: number;
  clockRate: number;
  speed: number;
  plain?: { name: string; couple: (typeof COUPLE_TYPES)[number] }[];
  unit: 'C' | 'F';
}

interface BoardArguments extends BleOptions, Pick<WatchArguments, 'baud' | 'plain' | 'unit'> {
  port?: string;
  seconds: number;
  reopen?: boolean;
  pull?: boolean;
  json?: boolean;
}

function withShared(command: Command): Command {
  return command
    .option(
      '--lan',
      'let phones in the same network in, with the code that is printed (else this machine only)',
    )
    .addOption(
      new Option('--http-port <number>', 'port of the page (8321, or the next that is free)').argParser(port),
    )
    .option('--https', 'serve the page over HTTPS as well, so that phones can be called by push')
    .addOption(
      new Option('--https-port <number>', 'port of HTTPS (8322, or the next that is free)').argParser(port),
    )
    .option('--cert <file>', 'a certificate of your own for HTTPS, PEM (else one is made)')
    .option('--key <file>', 'its private key, PEM')
    .option('--data <folder>', "where firings are kept (else the user's own data folder)")
    .option('--name <text>', "the firing's name")
    .option(
      '--plan <file>',
      'a plan as JSON: salting heat, cone, limits and so on (with --kiln also front=FILE,back=FILE)',
    );
}

/** Where a board over Bluetooth low energy is; what is left out stands in the settings. */
function withBle(command: Command): Command {
  return command
    .option(
      '--ble [name]',
      'a board over Bluetooth low energy: its name or address (else as in bluetooth.json)',
    )
    .option('--ble-service <uuid>', 'its service')
    .option('--ble-notify <uuid>', 'the characteristic that it speaks on')
    .option('--ble-write <uuid>', 'the characteristic that it listens on');
}

/** Rejects with one sentence where the radio's library is not there, or it is not said where the board is. */
async function bleOf(options: BleOptions): Promise<{ target: GattTarget; gatt: Gatt } | null> {
  if (options.ble === undefined) return null;
  const target = await bleTarget(options, bluetoothSettings());
  return { target, gatt: loadGatt(bluetoothFolder()) };
}

/** Every value of an option that may be given several times. */
const each = (text: string, before: string[]): string[] => [...before, text];

function shared(
  options: SharedOptions,
  kilns: WatchOptions['kilns'],
  plain?: Plan['plainBoard'],
): WatchOptions {
  const { data, name, plan, lan, httpPort, https, httpsPort, cert, key } = options;
  if ((cert === undefined) !== (key === undefined)) throw new Error('--cert and --key go together.');
  const given = cert === undefined || key === undefined ? null : { cert, key };
  return {
    kilns,
    fresh: options.new ?? false,
    lan: lan ?? false,
    httpPort: httpPort ?? null,
    https: https || given ? { port: httpsPort ?? null, given } : null,
    ...(data === undefined ? {} : { data }),
    ...(name === undefined ? {} : { name }),
    ...(plan === undefined ? {} : { plan }),
    ...(plain === undefined ? {} : { plain }),
  };
}

/** A board that is plugged in is watched; without one there is the demo kiln. */
async function startCommand(options: SharedOptions): Promise<void> {
  const likely = (await listPorts()).filter((found) => found.likely);
  const [first] = likely;
  if (first === undefined) {
    await watchCommand(shared(options, only({ kind: 'demo', speed: DEMO_SPEED, seed: 1 })));
    return;
  }
  process.stderr.write(`Watching ${first.path} (${first.seems}).\n`);
  if (likely.length > 1)
    process.stderr.write(
      `There are others: ${ownCommand('ports')} lists them, watch --port takes one or several.\n`,
    );
  await watchCommand(
    shared(options, only({ kind: 'board', ports: [first.path], baudRate: BAUD_RATE, clockRate: 1 })),
  );
}

async function watchWith(options: WatchArguments): Promise<void> {
  const { capture, port, kiln, baud: baudRate, clockRate } = options;
  const boards = port.length + kiln.length + (options.ble === undefined ? 0 : 1);
  if ((boards === 0) === (capture === undefined)) {
    throw new Error(
      `Say what to watch: --port with the board's port (${ownCommand('ports')} lists them), --kiln with a name and its port, --ble with a name, or --capture with a file.`,
    );
  }
  if (kiln.length > 0 && options.ble !== undefined)
    throw new Error('A board over Bluetooth low energy goes with --port or alone, and not with --kiln.');
  const ble = await bleOf(options);
  const byBrowser = [...port, ...kiln].some((each) => each.includes(BROWSER_PORT));
  const browserBle = byBrowser ? await bleLine(options, bluetoothSettings()) : null;
  const plain = options.plain ? { probes: options.plain, unit: options.unit } : undefined;
  const kilns: WatchOptions['kilns'] =
    capture !== undefined
      ? only({ kind: 'capture', path: capture, speed: options.speed })
      : kilnsOf(port, kiln).map(({ name, ports }) => {
          const plan = planFileOf(options.plan, name);
          const source: Source = {
            kind: 'board',
            ports,
            baudRate,
            clockRate,
            ...(ble === null ? {} : { ble }),
            ...(ports.includes(BROWSER_PORT) ? { browserBle } : {}),
          };
          return { name, source, ...(plan === undefined ? {} : { plan }) };
        });
  await watchCommand(shared(options, kilns, plain));
}

function only(source: Source): WatchOptions['kilns'] {
  return [{ name: null, source }];
}

function commandLine(): Command {
  const program = new Command('spyhole')
    .description(
      'Watches a wood-burning kiln: temperature curve, climb, stall and salting alerts, an archive of every firing.',
    )
    .showHelpAfterError('(--help tells what there is)')
    .configureHelp({ helpWidth: 100 });

  withShared(
    program
      .command('start', { isDefault: true })
      .description(
        'watch the board that is plugged in; with none, run the demo kiln at many times real speed',
      ),
  )
    .option('--new', 'begin a new firing even if one is running')
    .action(startCommand);

  withBle(withShared(program.command('watch')).description('watch one kiln or several, or play a capture'))
    .addOption(
      new Option(
        '--port <path>',
        'the serial port: USB, Bluetooth or any other (/dev/ttyUSB0, COM3), or browser: a page reads the board; several for several boards in one kiln',
      )
        .argParser(each)
        .default([], 'none'),
    )
    .addOption(
      new Option(
        '--kiln <name=port[,port]>',
        'a kiln with its ports; several for several kilns, each its own firing',
      )
        .argParser(each)
        .default([], 'none'),
    )
    .option('--capture <file>', 'play a capture of the raw link instead')
    .addOption(
      new Option('--speed <times>', 'play the capture so many times as fast').argParser(speed).default(1),
    )
    .addOption(new Option('--baud <rate>', 'speed of the port').argParser(positive).default(BAUD_RATE))
    .addOption(
      new Option(
        '--plain <probes>',
        'the board just prints numbers: their names in order, as front,back or front:K,back:S',
      ).argParser(plainProbes),
    )
    .addOption(
      new Option('--unit <unit>', "unit of a plain board's numbers").choices(['C', 'F']).default('C'),
    )
    .addOption(
      new Option(
        '--clock-rate <times>',
        'run the clock so many times as fast, for a board that is played fast',
      )
        .argParser(speed)
        .default(1),
    )
    .option('--new', 'begin a new firing even if one is running')
    .action(watchWith);

  withShared(program.command('demo').description('run the demo kiln'))
    .addOption(
      new Option('--speed <times>', 'so many times as fast as a real kiln')
        .argParser(speed)
        .default(DEMO_SPEED),
    )
    .addOption(new Option('--seed <number>', 'which of the invented firings').argParser(whole).default(1))
    .action((options: SharedOptions & { speed: number; seed: number }) =>
      watchCommand(shared(options, only({ kind: 'demo', speed: options.speed, seed: options.seed }))),
    );

  program.command(`${INVENT} <folder>`, { hidden: true }).action(async (folder: string) => {
    // Nobody waits for them any more once the demo is gone.
    process.once('disconnect', () => process.exit(0));
    await inventFirings(folder, Date.now());
    if (process.connected) process.disconnect();
  });

  program
    .command('ports')
    .description('list the serial ports and what they seem to be')
    .action(async () => {
      process.stdout.write(`${portsTable(await listPorts())}\n`);
    });

  program
    .command('setup-bluetooth')
    .description('fetch the library for boards over Bluetooth low energy')
    .action(() => setUpBluetooth(bluetoothFolder()));

  withBle(program.command('board'))
    .description('the check before lighting: listen to a board and say whether all is fit for a firing')
    .option('--port <path>', 'its serial port (else the single one that is likely a board)')
    .addOption(new Option('--baud <rate>', 'speed of the port').argParser(positive).default(BAUD_RATE))
    .addOption(new Option('--seconds <number>', 'how long to listen').argParser(listening).default(30))
    .option('--reopen', 'shut the port and open it again: does the board remember?')
    .option('--pull', 'the same, and you pull the cable')
    .option('--json', 'print what was found as JSON')
    .addOption(
      new Option('--plain <probes>', 'the board just prints numbers: their names in order').argParser(
        plainProbes,
      ),
    )
    .addOption(
      new Option('--unit <unit>', "unit of a plain board's numbers").choices(['C', 'F']).default('C'),
    )
    .action(async (options: BoardArguments) => {
      const { port, baud, seconds, reopen = false, pull = false, json = false, plain, unit } = options;
      process.exitCode = await boardCommand({
        ...(port === undefined ? {} : { port }),
        ble: await bleOf(options),
        baudRate: baud,
        seconds,
        reopen,
        pull,
        json,
        plain: plain === undefined ? null : { probes: plain, unit },
      });
    });

  const ways = program.command('ways').description('how an alert reaches a person, and which ways are armed');
  ways.action(async () => {
    process.exitCode = await waysCommand();
  });
  ways
    .command('test')
    .description('try a way: webhook, mqtt, mail, loudspeaker, push')
    .argument('<way>')
    .action(async (way: string) => {
      process.exitCode = await tryWayCommand(way);
    });

  program
    .command('rerun')
    .description(
      'put a capture through the code that serves a live kiln and print what it makes of it, JSON a line',
    )
    .argument('<file>', 'a capture')
    .option('--json', 'print JSON a line (the only form there is)')
    .addOption(
      new Option('--every <seconds>', 'one reading each so many seconds').argParser(positive).default(60),
    )
    .option('--plan <file>', 'a plan as JSON, until the capture says otherwise')
    .action(async (file: string, options: { every: number; plan?: string }) => {
      process.exitCode = await rerunCommand(file, options);
    });

  program
    .command('import')
    .description('take a firing over from elsewhere: any CSV of times and temperatures, or a zip of Spyhole')
    .argument('<file>', 'the CSV or the zip')
    .option('--name <text>', "the firing's name (else the file's)")
    .option('--zone <name>', "its time zone, as Europe/Berlin (else this computer's)")
    .option('--start <time>', 'when it began, as 2031-03-08T06:30, if its times count from the start')
    .addOption(new Option('--unit <unit>', 'unit of its temperatures (else as found)').choices(['C', 'F']))
    .addOption(
      new Option('--dates <order>', 'order of its dates (else as found)').choices(['ymd', 'dmy', 'mdy']),
    )
    .option('--probes <names>', 'its columns of temperatures: 2=front-low,3=back:S (else as found)')
    .option('--look', 'only tell what would be made of it', false)
    .option('--data <folder>', "where firings are kept (else the user's own data folder)")
    .action(importCommand);

  program
    .command('sheet')
    .description('a firing on one or two pages to pin on the wall, as PDF, or its curve as SVG')
    .argument('<firing>', 'its folder, or its name in the data folder')
    .option('--pdf <file>', 'the sheet as PDF; needs Chromium, Chrome or Edge')
    .option('--svg <file>', 'the curve alone as SVG')
    .addOption(
      new Option('--paper <size>', 'A4 or letter (else as the unit has it)').choices(['A4', 'letter']),
    )
    .addOption(new Option('--fahrenheit', 'temperatures in °F').conflicts('celsius'))
    .option('--celsius', 'temperatures in °C (what they are if nothing is said)')
    .option('--browser <path>', 'the browser that makes the PDF')
    .option('--data <folder>', "where firings are kept (else the user's own data folder)")
    .action(sheetCommand);

  program
    .command('export')
    .description('a firing as one zip: CSV, what its columns are, plan, log book and results')
    .argument('<firing>', 'its folder, or its name in the data folder')
    .requiredOption('--zip <file>', 'the zip to write')
    .option('--capture', 'with every line of the link', false)
    .option('--data <folder>', "where firings are kept (else the user's own data folder)")
    .action((firing: string, options: { zip: string; capture: boolean; data?: string }) =>
      exportCommand(firing, { ...options, data: options.data }),
    );

  program
    .command('cones')
    .description('print how well the heat-work equations give the published cone chart back')
    .action(() => {
      process.exitCode = conesCommand();
    });
  return program;
}

/**
 * Whoever reads the output may go before the end. `rerun FILE | head` then ends without a word, as other tools do; what
 * is said to a terminal that was closed is said to nobody, and the watch goes on.
 */
function letReadersGo(): void {
  process.stdout.on('error', (error) => {
    if (errorCode(error) !== 'EPIPE')
      process.stderr.write(`The output cannot be written (${errorCode(error)}).\n`);
    process.exit(errorCode(error) === 'EPIPE' ? 0 : 1);
  });
  process.stderr.on('error', () => undefined);
}

/** Runs the command line. Rejects with one sentence where a command cannot do its work. */
export async function main(args: string[]): Promise<void> {
  letReadersGo();
  await commandLine().parseAsync(args, { from: 'user' });
}
