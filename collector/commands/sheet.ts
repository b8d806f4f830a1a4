/** `spyhole sheet FIRING`: the firing sheet as PDF, made by a browser on this computer, and its curve as SVG. */
import { writeFile } from 'node:fs/promises';
import { basename, resolve } from 'node:path';
import { h } from 'preact';
import { renderToStaticMarkup } from 'preact-render-to-string';
import { CurveDrawing } from '../../dashboard/sheet/CurveDrawing.tsx';
import { sheetFacts } from '../../dashboard/sheet/facts.ts';
import { paperOf, sheetAddress } from '../../dashboard/sheet/paper.ts';
import type { RecordedFiring } from '../../protocol/firing-record.ts';
import type { TemperatureUnit } from '../../protocol/units.ts';
import { errorCode } from '../error-code.ts';
import { curveOf } from '../server/curve.ts';
import { recordedView } from '../server/record.ts';
import { loadFiring } from '../server/recorded.ts';
import { findBrowser, printToPdf } from './browser-print.ts';
import { firingFolder } from './firing-folder.ts';
import { servePage } from './sheet-server.ts';

export interface SheetOptions {
  pdf?: string;
  svg?: string;
  paper?: 'A4' | 'letter';
  fahrenheit?: boolean;
  browser?: string;
  data?: string;
}

/** Screen pixels that the curve is thinned for: two a dot of a laser printer would show nothing more. */
const WIDTH = 1400;

/** Rejects with one sentence where a file cannot be made. */
export async function sheetCommand(firing: string, options: SheetOptions): Promise<void> {
  const { pdf, svg } = options;
  if (pdf === undefined && svg === undefined)
    throw new Error('Say what to make: --pdf FILE for the sheet, --svg FILE for the curve alone.');
  const unit: TemperatureUnit = options.fahrenheit ? 'F' : 'C';
  const folder = await firingFolder(firing, options.data);
  // It may not be there: that is found out before the work is done.
  const browser = pdf === undefined ? null : await findBrowser(options.browser);
  if (svg !== undefined) {
    await write(resolve(svg), curveSvg(await recordOf(folder), unit));
    process.stderr.write(`The curve is in ${resolve(svg)}.\n`);
  }
  if (pdf === undefined || browser === null) return;
  const page = await servePage(folder);
  try {
    const address = sheetAddress(basename(folder), paperOf(options.paper?.toLowerCase(), unit), unit);
    await printToPdf(browser, `${page.url}${address}`, resolve(pdf));
    if (!page.wasAsked()) throw new Error(`${browser} did not open the sheet: try --browser with another.`);
  } finally {
    await page.close();
  }
  process.stderr.write(`The sheet is in ${resolve(pdf)}.\n`);
}

async function recordOf(folder: string): Promise<RecordedFiring> {
  const record = await loadFiring(folder, (text) => process.stderr.write(`${text}\n`));
  if (record === null) throw new Error(`There is nothing recorded in ${folder}.`);
  return recordedView(record, curveOf(record.curve, { width: WIDTH }), true);
}

/** The drawing that the sheet has, as a file of its own. Throws where nothing was recorded. */
export function curveSvg(record: RecordedFiring, unit: TemperatureUnit): string {
  const facts = sheetFacts(record);
  if (facts === null) throw new Error(`Nothing was recorded of ${record.firing.name}.`);
  return `<?xml version="1.0" encoding="UTF-8"?>\n${renderToStaticMarkup(h(CurveDrawing, { record, facts, unit }))}\n`;
}

async function write(path: string, text: string): Promise<void> {
  await writeFile(path, text).catch((cause: unknown) => {
    throw new Error(`${path} cannot be written (${errorCode(cause)}).`, { cause });
  });
}
