/** Past firings for the demo, so that there is something to lay side by side: invented, seeded, run through the very collector. */
import { mkdir, mkdtemp, rename, rm } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { type Plan, planSchema } from '../../protocol/plan.ts';
import { type ResultRow, resultRowsSchema } from '../../protocol/results.ts';
import { HOUR_MS } from '../../protocol/units.ts';
import type { Archive } from '../archive/archive.ts';
import { saveResults } from '../archive/results.ts';
import { createFiring } from '../archive/write.ts';
import {
  type DemoBoardSetting,
  type DemoEvent,
  openDemoBoard,
  runDemoBoard,
} from '../demo-kiln/demo-board.ts';
import { DEMO_PROBES } from '../demo-kiln/probes.ts';
import { freshBeginning, ONLY_LINK } from '../firing/beginning.ts';
import { newWatching, type WatchEffect, type Watching } from '../firing/watch-state.ts';
import { watchStep } from '../firing/watching.ts';

interface Invented {
  name: string;
  daysAgo: number;
  weather: string;
  kiln: Pick<DemoBoardSetting, 'seed' | 'plan' | 'troubles'>;
  /** Of each place: good, seconds, lost. */
  came: Record<string, readonly [number, number, number]>;
}

/** Newest first: it is made first, and may be looked at while the others are made. */
export const INVENTED: readonly Invented[] = [
  {
    name: 'Invented: dry wood',
    daysAgo: 61,
    weather: 'Dry and still, 11 °C.',
    kiln: { seed: 11, plan: { woodMoisture: 0.15 } },
    came: {
      'front low': [70, 6, 4],
      'front high': [74, 4, 2],
      'back low': [68, 8, 4],
      'back high': [75, 3, 2],
    },
  },
  {
    name: 'Invented: salted slowly',
    daysAgo: 148,
    weather: 'Cold in the night, no wind.',
    kiln: { seed: 12, plan: { chargeEveryS: 80, soakMin: 70, unevenness: 1.4 } },
    came: {
      'front low': [66, 8, 6],
      'front high': [69, 6, 5],
      'back low': [60, 12, 8],
      'back high': [70, 7, 3],
    },
  },
  {
    name: 'Invented: wet wood',
    daysAgo: 251,
    weather: 'Rain until midnight, the stack got wet.',
    kiln: {
      seed: 13,
      troubles: [
        { what: 'wet-wood', from: { atC: 620 }, minutes: 90, moisture: 0.4 },
        { what: 'choked-embers', from: { atC: 1010 }, minutes: 60 },
      ],
    },
    came: {
      'front low': [58, 12, 10],
      'front high': [62, 10, 8],
      'back low': [49, 15, 16],
      'back high': [60, 11, 9],
    },
  },
];

const PERIOD_MS = 60_000;
/** No firing of the demo kiln takes so long. */
const LONGEST_MS = 12 * 24 * HOUR_MS;
const CLOCK = { rate: 1, now: () => 0, after: () => () => undefined, skip: () => undefined };

export function inventedPlan({ name, came }: Invented): Plan {
  return planSchema.parse({
    name,
    load: Object.entries(came).map(([place, counts]) => ({
      place,
      shape: 'mugs and jars',
      pieces: counts.reduce((sum, each) => sum + each, 0),
    })),
    wood: { stack: { amount: 5 } },
  });
}

const rowsOf = ({ came }: Invented): ResultRow[] =>
  resultRowsSchema.parse(
    Object.entries(came).map(([place, [good, seconds, lost]]) => ({
      place,
      shape: 'mugs and jars',
      loaded: good + seconds + lost,
      good,
      seconds,
      lost,
    })),
  );

/** Makes those of them that are not in `dataFolder` yet; each is there as a whole, or not at all. */
export async function inventFirings(dataFolder: string, nowMs: number): Promise<void> {
  await mkdir(dataFolder, { recursive: true });
  for (const invented of INVENTED) {
    const making = await mkdtemp(join(dataFolder, '.making-'));
    try {
      const startMs = Math.floor(nowMs / HOUR_MS) * HOUR_MS - invented.daysAgo * 24 * HOUR_MS;
      const folder = await invent(invented, making, startMs);
      await rename(folder, join(dataFolder, basename(folder)));
    } finally {
      await rm(making, { recursive: true, force: true });
    }
  }
}

/** Fires it from cold to unbricking; the answer is its folder. */
async function invent(invented: Invented, dataFolder: string, startMs: number): Promise<string> {
  const plan = inventedPlan(invented);
  let trouble: string | null = null;
  const archive = await createFiring({
    dataFolder,
    name: plan.name,
    startedAt: startMs,
    plan,
    source: 'demo',
    onTrouble: (text) => {
      trouble = text;
    },
  });
  const links = [{ name: ONLY_LINK, shown: 'demo' }];
  const settings = { startedAt: startMs, source: 'demo', links, nextEntry: archive.nextEntry() } as const;
  const state = newWatching(settings, freshBeginning(CLOCK));
  take(state, archive, startMs, { kind: 'standing', link: ONLY_LINK, state: 'open', text: '' });
  take(state, archive, startMs, { kind: 'entry', value: { ...plan, log: 'plan' }, where: 'collector' });
  const weather = { log: 'weather', note: invented.weather };
  take(state, archive, startMs, { kind: 'entry', value: weather, where: 'kiln' });
  const board = openDemoBoard({
    ...invented.kiln,
    startMs,
    board: 'demo-kiln',
    periodMs: PERIOD_MS,
    keeps: 60,
    probes: DEMO_PROBES,
  });
  let opened = false;
  for (let at = startMs + HOUR_MS; !opened && at < startMs + LONGEST_MS; at += HOUR_MS) {
    for (const event of runDemoBoard(board, at)) opened = takeEvent(state, archive, event) || opened;
    await archive.flush();
    if (trouble !== null) throw new Error(trouble);
  }
  await archive.close();
  await saveResults(archive.folder, { revision: '', rows: rowsOf(invented) }, plan.name);
  return archive.folder;
}

/** The answer is whether the kiln was opened with it. */
function takeEvent(state: Watching, archive: Archive, event: DemoEvent): boolean {
  if (event.kind === 'line') {
    take(state, archive, event.at, { kind: 'line', link: ONLY_LINK, of: ONLY_LINK, text: event.text });
    return false;
  }
  take(state, archive, event.at, { kind: 'logged', link: ONLY_LINK, entry: event.entry });
  return event.entry.log === 'unbricked';
}

type Told = Parameters<typeof watchStep>[1] extends infer Each
  ? Each extends { at: number; heardTo: number }
    ? Omit<Each, 'at' | 'heardTo'>
    : never
  : never;

function take(state: Watching, archive: Archive, at: number, event: Told): void {
  const { effects } = watchStep(state, { ...event, at, heardTo: at } as Parameters<typeof watchStep>[1]);
  for (const effect of effects) write(archive, effect);
}

function write(archive: Archive, effect: WatchEffect): void {
  switch (effect.kind) {
    case 'capture':
      archive.capture(effect.line);
      break;
    case 'reading':
      archive.readings(effect.output);
      break;
    case 'row':
    case 'entry':
      archive.log(effect.row);
      break;
    case 'plan':
      archive.plan(effect.file);
      break;
    default:
  }
}
