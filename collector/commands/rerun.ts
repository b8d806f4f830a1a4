/** `spyhole rerun FILE`: a capture through the live pipeline, as fast as it can, JSON a line on stdout. */
import { defaultPlan } from '../../protocol/plan.ts';
import { newRerun, type Rerun, rerunItem } from '../firing/rerun.ts';
import { readCapture } from '../links/capture-reader.ts';
import { readPlanFile } from './plan-file.ts';

export interface RerunOptions {
  every: number;
  plan?: string;
}

/** Lines are handed to stdout in lots of about this many characters. */
const LOT = 1 << 16;

/** Exit status 0 if the file was read, 2 with one clear line if it is no capture. */
export async function rerunCommand(file: string, options: RerunOptions): Promise<number> {
  const plan = options.plan === undefined ? defaultPlan() : await readPlanFile(options.plan);
  let waiting = '';
  let badRecords = 0;
  const rerun = newRerun(plan, options.every * 1000, (line) => {
    waiting += `${line}\n`;
  });
  try {
    for await (const batch of readCapture(file)) {
      for (const line of batch.lines) rerunItem(rerun, line);
      badRecords += batch.bad;
      if (waiting.length >= LOT) {
        await write(waiting);
        waiting = '';
      }
    }
  } catch (cause) {
    await write(waiting);
    process.stderr.write(`${cause instanceof Error ? cause.message : String(cause)}\n`);
    return 2;
  }
  await write(waiting);
  process.stderr.write(summary(rerun, badRecords));
  return 0;
}

/** Waits until stdout has taken the text, so that memory does not grow with the file. */
function write(text: string): Promise<void> {
  if (text === '') return Promise.resolve();
  return new Promise((resolve) => {
    process.stdout.write(text, () => resolve());
  });
}

function summary({ pipeline, badLogs }: Rerun, badRecords: number): string {
  const lines: string[] = [];
  for (const [link, { counts }] of pipeline.desks) {
    const bad = Object.entries(counts.bad).map(([why, count]) => `${count} ${why}`);
    const name = link === '' ? '' : `${link}: `;
    lines.push(
      `${name}${counts.lines} lines, ${counts.late} readings late, ${counts.missing} lost, ${counts.duplicates} twice, not used: ${bad.length > 0 ? bad.join(', ') : 'none'}\n`,
    );
  }
  if (badRecords > 0) lines.push(`${badRecords} lines of the file are no records of a capture.\n`);
  if (badLogs > 0) lines.push(`${badLogs} logged lines could not be read.\n`);
  return lines.join('');
}
