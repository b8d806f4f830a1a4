/** `board`, the check before lighting. */
import { type Command, Option } from 'commander';
import type { COUPLE_TYPES } from '../../../protocol/probes.ts';
import type { BleOptions } from '../ble-settings.ts';
import { listening, plainProbes, positive } from './arguments.ts';
import { BAUD_RATE, bleOf, withBle } from './shared.ts';

interface BoardArguments extends BleOptions {
  baud: number;
  plain?: { name: string; couple: (typeof COUPLE_TYPES)[number] }[];
  unit: 'C' | 'F';
  port?: string;
  seconds: number;
  reopen?: boolean;
  pull?: boolean;
  json?: boolean;
}

/** Declares it. */
export function declareBoard(program: Command): void {
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
      const { boardCommand } = await import('../board.ts');
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
}
