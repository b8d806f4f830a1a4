/** The options that several commands have. */
import { type Command, Option } from 'commander';
import type { Plan } from '../../../protocol/plan.ts';
import type { Gatt, GattTarget } from '../../links/gatt.ts';
import { loadGatt } from '../../links/gatt-noble.ts';
import { type BleOptions, bleTarget } from '../ble-settings.ts';
import { bluetoothFolder, bluetoothSettings } from '../user-folders.ts';
import type { WatchOptions } from '../watch.ts';
import { port } from './arguments.ts';

export const BAUD_RATE = 115_200;

export interface SharedOptions {
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

export function withShared(command: Command): Command {
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
export function withBle(command: Command): Command {
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
export async function bleOf(options: BleOptions): Promise<{ target: GattTarget; gatt: Gatt } | null> {
  if (options.ble === undefined) return null;
  const target = await bleTarget(options, bluetoothSettings());
  return { target, gatt: loadGatt(bluetoothFolder()) };
}

export function shared(
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
