/** `npm run score`: runs the sets of firings, on two threads, and prints the figures. */
import { writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { isMainThread, parentPort, Worker } from 'node:worker_threads';
import { CAPTURE_HEADER, formatCaptureLine } from '../../protocol/capture.ts';
import { eachInWords, saidInWords } from './each.ts';
import { rowsOf } from './figures.ts';
import { type FiringMarks, marksOf } from './marks.ts';
import { recipeOf } from './recipe.ts';
import { runFiring } from './run.ts';
import { type Column, scoreFile, tableOf, waysTable } from './table.ts';

/**
 * The first set is there to tune by; the others are other firings, to see whether what was tuned holds. The second has been
 * looked at many times since. The third and the fourth are twice as large; each was run for the first time once all
 * figures of its day were chosen, and those of the stall were chosen anew between the two.
 */
const SETS = [
  { title: 'first set', from: 1, to: 48 },
  { title: 'second set', from: 1001, to: 1048 },
  { title: 'third set', from: 5001, to: 5096 },
  { title: 'fourth set', from: 6001, to: 6096 },
] as const;
const THREADS = 2;
/** From the top of the checkout, where this is run. */
const SCORE_FILE = 'tests/score.md';

const USAGE = `npm run score -- [--all] [--each] [--only SEED [--capture FILE]] [--json] [--write]
  --all           all sets beside one another, and those that nothing was tuned by together
  --each          a few lines for every firing: its recipe, what was missed, what was false, and when
  --only SEED     one firing alone, with every alert; --capture writes it down for 'spyhole rerun'
  --json          everything as JSON instead
  --write         all of them, and the table into tests/score.md`;

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

function only(seed: number, capture: string | undefined, json: boolean): void {
  const lines = [CAPTURE_HEADER];
  const run = runFiring(recipeOf(seed), (line) => capture && lines.push(formatCaptureLine(line)));
  if (capture) writeFileSync(capture, `${lines.join('\n')}\n`);
  const marks = marksOf(run);
  console.log(json ? JSON.stringify(marks) : `${eachInWords(marks)}\n${saidInWords(marks)}`);
}

/** The errors of each minute are left out: there are tens of thousands of them. */
function inJson(columns: readonly Column[]): string {
  const sets = columns.map(({ title, firings }) => ({ title, rows: rowsOf(firings), firings }));
  return JSON.stringify(sets, (key, value: unknown) => (key === 'climbErrors' ? undefined : value));
}

function optionsOf() {
  return parseArgs({
    options: {
      all: { type: 'boolean', default: false },
      each: { type: 'boolean', default: false },
      only: { type: 'string' },
      capture: { type: 'string' },
      json: { type: 'boolean', default: false },
      write: { type: 'boolean', default: false },
      help: { type: 'boolean', default: false },
    },
  }).values;
}

async function main(options: ReturnType<typeof optionsOf>): Promise<void> {
  if (options.only !== undefined) {
    only(Number(options.only), options.capture, options.json);
    return;
  }
  const begun = performance.now();
  const columns: Column[] = [];
  const sets = options.all || options.write ? SETS : SETS.slice(0, 1);
  const seeds = sets.map(({ title, from, to }) => `${title}: seeds ${from} to ${to}`).join('; ');
  if (!options.json) console.log(seeds);
  for (const { title, from, to } of sets)
    columns.push({
      title,
      firings: await markAll(Array.from({ length: to - from + 1 }, (_, i) => from + i)),
    });
  const unseen = columns.slice(1).flatMap(({ firings }) => firings);
  if (unseen.length > 0) columns.push({ title: 'second to fourth', firings: unseen });
  if (options.json) {
    console.log(inJson(columns));
    return;
  }
  if (options.each)
    for (const { firings } of columns.slice(0, sets.length)) console.log(firings.map(eachInWords).join('\n'));
  console.log(
    `${tableOf(columns)}\n\n${waysTable(columns)}\n${((performance.now() - begun) / 1000).toFixed(0)} s`,
  );
  if (options.write) writeFileSync(SCORE_FILE, scoreFile(seeds, columns));
}

/** What was asked for, or null if it makes no sense. */
function asked(): ReturnType<typeof optionsOf> | null {
  try {
    const options = optionsOf();
    const seed = Number(options.only ?? 0);
    return options.help || !Number.isSafeInteger(seed) ? null : options;
  } catch {
    return null;
  }
}

if (isMainThread) {
  const options = asked();
  if (options) await main(options);
  else {
    console.error(USAGE);
    process.exitCode = 2;
  }
} else {
  parentPort?.on('message', (seed: number) => parentPort?.postMessage(markSeed(seed)));
}
