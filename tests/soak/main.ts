/** The long runs of the emulated board, and their figures. */
import { cpus } from 'node:os';
import { type ArchiveFigures, archiveFigures } from '../board-sketch/archive-figures.ts';
import { type BenchBoard, benchBoard } from '../board-sketch/bench-board.ts';
import { max31856 } from '../board-sketch/emulator/max31856.ts';
import { type LockstepOptions, lockstep } from '../board-sketch/lockstep.ts';
import { pullAll, somePulls } from '../board-sketch/pulls.ts';
import { compileBoard, hasAvrGcc } from '../board-sketch/toolchain.ts';
import { randomFrom } from '../lines/fake-board.ts';
import { ROOT, tempFolder } from '../support/collector.ts';

const HOUR_MS = 3_600_000;
/** In each two hours so many pulls, of 5 to 300 s; the rest of the time is link. */
const PULLS = 20;
const OUT_MS = [5_000, 300_000] as const;
const LINK_MS = [20_000, 395_000] as const;
const NOTHING_WRONG = ['missing', 'twice', 'wrong', 'outOfOrder', 'misplaced', 'toldGone'] as const;

interface Story {
  name: string;
  hours: number;
  killEvery: number;
  how: Partial<LockstepOptions>;
}

const STORIES: Story[] = [
  { name: '24 h, pulled 20 times in each 2 h', hours: 24, killEvery: 0, how: { stepMs: 200 } },
  { name: '2 h, pulled 20 times, killed (-9) 10 times', hours: 2, killEvery: 2, how: {} },
  {
    name: '4 h, pulled 20 times in each 2 h, 1e-4 of the bits turned over',
    hours: 4,
    killEvery: 0,
    how: { bitErrorRate: 1e-4 },
  },
];

interface Outcome extends ArchiveFigures {
  emulatedHours: number;
  pulls: number;
  bitErrors: number;
  stackNeverTouchedBytes: number;
  keepsAtTheEnd: number;
  minutesTaken: number;
}

async function run(story: Story, seed: number): Promise<Outcome> {
  const home = tempFolder();
  const bench = benchBoard({ seed });
  const random = randomFrom(seed);
  const began = performance.now();
  const side = await lockstep({ bench, dataFolder: home.path, random, ...story.how });
  try {
    let pulled = 0;
    for (let twoHours = 0; twoHours < story.hours / 2; twoHours += 1) {
      const pulls = somePulls({
        count: PULLS,
        outMs: OUT_MS,
        linkMs: LINK_MS,
        killEvery: story.killEvery,
        random,
      });
      await pullAll(side, pulls, random);
      pulled += pulls.length;
      await side.go(30_000);
      console.error(`  ${(bench.board.ms / HOUR_MS).toFixed(1)} h`);
    }
    await side.go(Math.max(0, story.hours * HOUR_MS - bench.board.ms));
    await side.close();
    const figures = archiveFigures(bench, home.path);
    const isWell = NOTHING_WRONG.every((name) => figures[name] === 0);
    if (isWell) home.remove();
    else console.error(`  kept to be looked at: ${home.path}`);
    return {
      emulatedHours: Number((bench.board.ms / HOUR_MS).toFixed(2)),
      pulls: pulled,
      ...figures,
      bitErrors: side.bitErrors,
      stackNeverTouchedBytes: bench.board.untouchedStack(),
      keepsAtTheEnd: bench.lines('hello').at(-1)?.hello.keeps ?? 0,
      minutesTaken: Number(((performance.now() - began) / 60_000).toFixed(1)),
    };
  } finally {
    await side.kill();
  }
}

/** Each of the 524,288 codes of a MAX31856, read by the board and told on a line: how many come out as another. */
function everyCode(): { codes: number; wrong: number } {
  const COUNT = 2 ** 19;
  const config = `${ROOT}tests/board-sketch/four-linearising.h`;
  const chips = [0, 1, 2, 3].map((quarter) => {
    const first = -COUNT / 2 + (COUNT / 4) * quarter;
    let reads = -1;
    return max31856({
      couple: () => {
        reads += 1;
        return first + Math.min(reads, COUNT / 4 - 1);
      },
      coldJunction: () => 0,
    });
  });
  const bench: BenchBoard = benchBoard({ firmware: compileBoard({ config }), chips });
  const codes = new Set<number>();
  let wrong = 0;
  for (let n = 0; n < COUNT / 4 + 2; n += 1000) {
    bench.go(200 * Math.min(1000, COUNT / 4 + 2 - n));
    const readings = bench.lines('reading');
    const late = readings.length - (chips[0]?.told.length ?? 0);
    readings.slice(Math.max(0, late)).forEach(({ values }, i) => {
      values.forEach((raw, probe) => {
        const code = chips[probe]?.told[i]?.couple;
        if (Math.round(Number(raw) * 128) !== code) wrong += 1;
        else codes.add(code);
      });
    });
    bench.said.length = 0;
    for (const chip of chips) chip.told.length = 0;
  }
  return { codes: codes.size, wrong };
}

if (!hasAvrGcc()) {
  console.error('The soak needs avr-gcc: apt-get install gcc-avr avr-libc');
  process.exit(1);
}
let failed = false;
console.log(`machine: ${cpus().length} x ${cpus()[0]?.model}, Node ${process.version}`);
const { flashBytes, ramBytes } = compileBoard();
console.log(`sketch: ${flashBytes} bytes of flash, ${ramBytes} bytes of RAM in variables`);
const wanted = process.argv[2];
for (const [n, story] of STORIES.entries()) {
  if (wanted !== undefined && wanted !== String(n)) continue;
  console.error(story.name);
  const outcome = await run(story, 100 + n);
  const bad = NOTHING_WRONG.filter((name) => outcome[name] !== 0);
  if (bad.length > 0 || outcome.archived !== outcome.made || outcome.boots !== 1) failed = true;
  console.log(`\n${story.name}: ${bad.length === 0 ? 'as it must be' : `WRONG: ${bad.join(', ')}`}`);
  for (const [name, value] of Object.entries(outcome)) console.log(`  ${name}: ${value}`);
}
if (wanted === undefined || wanted === String(STORIES.length)) {
  const { codes, wrong } = everyCode();
  if (codes !== 2 ** 19 || wrong > 0) failed = true;
  console.log(`\ncodes of a MAX31856 that come back from their line: ${codes} of ${2 ** 19}, ${wrong} wrong`);
}
process.exit(failed ? 1 : 0);
