/** `start`, `watch` and `demo`. */
import { type Command, Option } from 'commander';
import { BROWSER_PORT } from '../../../protocol/browser-link.ts';
import type { COUPLE_TYPES } from '../../../protocol/probes.ts';
import { ownCommand } from '../../own-command.ts';
import { type BleOptions, bleLine } from '../ble-settings.ts';
import type { Source } from '../kiln.ts';
import { kilnsOf, planFileOf } from '../kiln-arguments.ts';
import { bluetoothSettings } from '../user-folders.ts';
import type { WatchOptions } from '../watch.ts';
import { each, plainProbes, positive, speed, whole } from './arguments.ts';
import { BAUD_RATE, bleOf, type SharedOptions, shared, withBle, withShared } from './shared.ts';

/** Fast enough that a newcomer sees the whole firing go by in a few minutes. */
const DEMO_SPEED = 240;

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

/** A board that is plugged in is watched; without one there is the demo kiln. */
async function startCommand(options: SharedOptions): Promise<void> {
  const { listPorts } = await import('../../links/ports.ts');
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

async function watchCommand(options: WatchOptions): Promise<void> {
  const watch = await import('../watch.ts');
  await watch.watchCommand(options);
}

function only(source: Source): WatchOptions['kilns'] {
  return [{ name: null, source }];
}

/** Declares them. */
export function declareWatching(program: Command): void {
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
}
