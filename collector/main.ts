/** The command line. Each command fetches what it needs when it is asked for: to load all takes longer than most of them. */
import { Command } from 'commander';
import { INVENT } from './commands/inventing.ts';
import { declareBoard } from './commands/line/checking.ts';
import { declareFirings } from './commands/line/firings.ts';
import { declareWatching } from './commands/line/watching.ts';
import { setUpBluetooth } from './commands/setup-bluetooth.ts';
import { bluetoothFolder } from './commands/user-folders.ts';
import { errorCode } from './error-code.ts';

function commandLine(): Command {
  const program = new Command('spyhole')
    .description(
      'Watches a wood-burning kiln: temperature curve, climb, stall and salting alerts, an archive of every firing.',
    )
    .showHelpAfterError('(--help tells what there is)')
    .configureHelp({ helpWidth: 100 });

  declareWatching(program);

  program.command(`${INVENT} <folder>`, { hidden: true }).action(async (folder: string) => {
    // Nobody waits for them any more once the demo is gone.
    process.once('disconnect', () => process.exit(0));
    const { inventFirings } = await import('./commands/invented.ts');
    await inventFirings(folder, Date.now());
    if (process.connected) process.disconnect();
  });

  program
    .command('ports')
    .description('list the serial ports and what they seem to be')
    .action(async () => {
      const { listPorts, portsTable } = await import('./links/ports.ts');
      process.stdout.write(`${portsTable(await listPorts())}\n`);
    });

  program
    .command('setup-bluetooth')
    .description('fetch the library for boards over Bluetooth low energy')
    .action(() => setUpBluetooth(bluetoothFolder()));

  declareBoard(program);

  const ways = program.command('ways').description('how an alert reaches a person, and which ways are armed');
  ways.action(async () => {
    const { waysCommand } = await import('./commands/ways.ts');
    process.exitCode = await waysCommand();
  });
  ways
    .command('test')
    .description('try a way: webhook, mqtt, mail, loudspeaker, push')
    .argument('<way>')
    .action(async (way: string) => {
      const { tryWayCommand } = await import('./commands/ways.ts');
      process.exitCode = await tryWayCommand(way);
    });

  declareFirings(program);

  program
    .command('cones')
    .description('print how well the heat-work equations give the published cone chart back')
    .action(async () => {
      const { conesCommand } = await import('./commands/cones.ts');
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
