/** `rerun`, `import`, `sheet` and `export`: what is done with firings that were kept. */
import { type Command, Option } from 'commander';
import type { ImportOptions } from '../import.ts';
import type { SheetOptions } from '../sheet.ts';
import { positive } from './arguments.ts';

/** Declares them. */
export function declareFirings(program: Command): void {
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
      const { rerunCommand } = await import('../rerun.ts');
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
    .action(async (file: string, options: ImportOptions) => {
      const { importCommand } = await import('../import.ts');
      await importCommand(file, options);
    });

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
    .action(async (firing: string, options: SheetOptions) => {
      const { sheetCommand } = await import('../sheet.ts');
      await sheetCommand(firing, options);
    });

  program
    .command('export')
    .description('a firing as one zip: CSV, what its columns are, plan, log book and results')
    .argument('<firing>', 'its folder, or its name in the data folder')
    .requiredOption('--zip <file>', 'the zip to write')
    .option('--capture', 'with every line of the link', false)
    .option('--data <folder>', "where firings are kept (else the user's own data folder)")
    .action(async (firing: string, options: { zip: string; capture: boolean; data?: string }) => {
      const { exportCommand } = await import('../export.ts');
      await exportCommand(firing, { ...options, data: options.data });
    });
}
