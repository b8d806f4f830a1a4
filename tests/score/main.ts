/** `npm run score`: runs the sets of firings, on two threads, and prints the figures. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { isMainThread, parentPort, Worker } from 'node:worker_threads';
import { CAPTURE_HEADER, formatCaptureLine } from '../../protocol/capture.ts';
import { eachInWords, saidInWords } from './each.ts';
import { type Column, tableOf } from './figures.ts';
import { type FiringMarks, marksOf } from './marks.ts';
import { recipeOf } from './recipe.ts';
import { runFiring } from './run.ts';

/** The first set is there to tune by; the second is other firings, to see whether what was tuned holds. */
const SETS = [
  { title: 'first set', from: 1, to: 48 },
  { title: 'second set', from: 1001, to: 1048 },
] as const;
const THREADS = 2;

const USAGE = `npm run score -- [--second] [--each] [--only SEED [--capture FILE]] [--json] [--write]
  --second        the second set too, beside the first
  --each          a few lines for every firing: its recipe, what was missed, what was false, and when
  --only SEED     one firing alone, with every alert; --capture writes it down for 'spyhole rerun'
  --json          everything as JSON instead
  --write         both sets, and the table into tests/score/score.md`;

function markSeed(seed: number): FiringMarks {
  return marksOf(runFiring(recipeOf(seed)));
}

/** Marks of the seeds, in their order. */
async function markAll(seeds: readonly number[]): Promise<FiringMarks[]> {
  const made = new Map<number, FiringMarks>();
  const left = [...seeds];
  const work = () =>
    new Promise<void>((resolve, reject) => {
      const worker = new Worker(fileURLToPath(import.meta.url));
      const next = () => {
        const seed = left.shift();
        if (seed !== undefined) worker.postMessage(seed);
        else void worker.terminate().then(() => resolve(), reject);
      };
      worker.on('message', (marks: FiringMarks) => {
        made.set(marks.seed, marks);
        next();
      });
      worker.on('error', reject);
      next();
    });
  await Promise.all(Array.from({ length: Math.min(THREADS, seeds.length) }, work));
  return seeds.flatMap((seed) => made.get(seed) ?? []);
}

async function only(seed: number, capture: string | undefined, json: boolean): Promise<void> {
  const lines = [CAPTURE_HEADER];
  const run = runFiring(recipeOf(seed), (line) => capture && lines.push(formatCaptureLine(line)));
  if (capture) writeFileSync(capture, `${lines.join('\n')}\n`);
  const marks = marksOf(run);
  console.log(json ? JSON.stringify(marks) : `${eachInWords(marks)}\n${saidInWords(marks)}`);
}

function scoreFile(table: string): string {
  const seeds = SETS.map(({ title, from, to }) => `${title}: seeds ${from} to ${to}`).join('; ');
  return `# Score

What the climb, the stall alert, the salting window, the forecasts and the probe-fault alerts are worth, on simulated firings
whose truth is known. Written by \`npm run score -- --write\`, from what the code gave at that time; nothing in it is set
by hand. The second set is never tuned by.

Firings (${seeds}) are drawn from their seeds: \`npm run score -- --only SEED\` tells one. The rules are in
\`rules.ts\` and \`marks.ts\`; the '5 min mean' beside is the slope of five-minute means below 11 °C/h for 2 min, for scale.

- A true stall: the true climb (noise-free mean of the places of the probes that work, smoothed by a centred biweight
  kernel of ±32 min) is below 11 °C/h while truly climbing, for 20 min and more; lows less than 20 min apart are one.
- Found: by the first \`stall\` or \`falling\` raised from 15 min before its onset to its end; the delay is raise minus
  onset, and may be negative. The kernel looks ahead, so the onset lies before the trouble shows.
- False: raised without such a stall; raised again within 20 min counts once. Hours of true climbing are the stricter
  measure, and the first given.
- Climb: by minute of true climbing, the last live reading in it.
- Salting window: the first raised within 60 min of the true crossing of the start. Forecast: the last one before.
- A probe's mishap is told if \`probe-fault\` is raised for it while it lasts or within 15 min of its end; one that breaks or
  drifts, at any time after. The figure behind is the median delay.

${table}
`;
}

async function main(): Promise<void> {
  const { values } = parseArgs({
    options: {
      second: { type: 'boolean', default: false },
      each: { type: 'boolean', default: false },
      only: { type: 'string' },
      capture: { type: 'string' },
      json: { type: 'boolean', default: false },
      write: { type: 'boolean', default: false },
      help: { type: 'boolean', default: false },
    },
  });
  if (values.help) {
    console.log(USAGE);
    return;
  }
  if (values.only !== undefined) {
    await only(Number(values.only), values.capture, values.json);
    return;
  }
  const begun = performance.now();
  const columns: Column[] = [];
  for (const { title, from, to } of values.second || values.write ? SETS : SETS.slice(0, 1)) {
    const firings = await markAll(Array.from({ length: to - from + 1 }, (_, i) => from + i));
    columns.push({ title, firings });
    if (!values.json) console.log(`${title}: seeds ${from} to ${to}`);
  }
  if (values.json) {
    console.log(JSON.stringify(columns));
    return;
  }
  if (values.each) for (const { firings } of columns) console.log(firings.map(eachInWords).join('\n'));
  const table = tableOf(columns);
  console.log(`${table}\n${((performance.now() - begun) / 1000).toFixed(0)} s`);
  if (values.write) writeFileSync(join(process.cwd(), 'tests', 'score', 'score.md'), scoreFile(table));
}

if (isMainThread) await main();
else parentPort?.on('message', (seed: number) => parentPort?.postMessage(markSeed(seed)));
