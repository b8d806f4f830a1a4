/**
 * A firing out of readings from elsewhere: they go through the core as those of a live kiln do, so that climb, heat work,
 * stages and alerts are the same, and what comes out goes into a folder like any other.
 */

import type { Hello } from '../../protocol/board-lines.ts';
import type { Mapping } from '../../protocol/imports.ts';
import { parseLogEntry } from '../../protocol/log-entries.ts';
import { planSchema } from '../../protocol/plan.ts';
import type { Archive } from '../archive/archive.ts';
import { createFiring } from '../archive/write.ts';
import type { CoreInput } from '../core/inputs.ts';
import { newFiring } from '../core/state.ts';
import { step } from '../core/step.ts';
import { alertRow, helloRow } from '../firing/own-rows.ts';
import { breather } from './csv.ts';
import { type Arranged, periodOf } from './gather.ts';
import { leftOutSentence } from './left-out.ts';

const BOARD = 'import';
/** Readings that wait for the disk: some megabytes. */
const FLUSH_EVERY = 5000;
/** Type K reads no higher; what was hotter is told as type S, which covers all that a kiln can be. */
const MOST_K_C = 1372;
const COUNTER = 2 ** 32;

/** Told from time to time how many rows have gone through the core, of all. */
export type OnProgress = (rows: number, of: number) => void;

/** So many rows are a moment's work. */
const TELL_EVERY = 500;

/** The folder's name of what was made. Rejects with one sentence where the disk does not take it. */
export async function makeFiring(
  dataFolder: string,
  fileName: string,
  mapping: Mapping,
  readings: Arranged,
  onProgress?: OnProgress,
): Promise<string> {
  const { at, columns } = readings;
  const startedAt = at[0] ?? 0;
  const plan = planSchema.parse({ name: mapping.name });
  const hello = helloOf(mapping, readings);
  let trouble: string | null = null;
  const onTrouble = (text: string | null) => {
    trouble = text;
  };
  const archive = await createFiring({
    dataFolder,
    name: mapping.name,
    startedAt,
    plan,
    source: 'import',
    onTrouble,
  });
  archive.plan({ plan, boards: [hello], startedAt, source: 'import' });
  const breathe = breather();
  const core = coreInto(archive);
  archive.log(helloRow(startedAt, hello));
  core({ kind: 'hello', at: startedAt, hello });
  logInto(archive, core, startedAt, { ...plan, log: 'plan' });
  logInto(archive, core, startedAt, { log: 'note', note: originNote(fileName, mapping, readings) });
  for (const [row, time] of at.entries()) {
    core({
      kind: 'reading',
      at: time,
      board: BOARD,
      boot: hello.boot,
      seq: row,
      uptimeMs: (time - startedAt) % COUNTER,
      coldJunctionC: null,
      values: mapping.probes.map(({ name }, i) => ({ probe: name, raw: columns[i]?.[row] ?? null })),
      late: false,
    });
    if (row % FLUSH_EVERY === FLUSH_EVERY - 1) await archive.flush();
    if (row % TELL_EVERY === 0) onProgress?.(row, at.length);
    await breathe();
  }
  if (!(await archive.close())) throw new Error(trouble ?? `${archive.folder} cannot be written.`);
  return archive.id;
}

/** Whoever opens the firing later is told where it is from, and what is not known of it. */
function originNote(fileName: string, { probes }: Mapping, { leftOut }: Arranged): string {
  const unknown = probes.filter(({ couple }) => couple === null).map(({ name }) => name);
  return [
    `Taken over from ${fileName}.`,
    ...(unknown.length === 0
      ? []
      : [
          `Which couple it was is not known (${unknown.join(', ')}): the temperatures are taken as they stand, and are not corrected.`,
        ]),
    leftOutSentence(leftOut) ?? '',
  ]
    .join(' ')
    .trim();
}

function helloOf({ probes }: Mapping, { at, columns }: Arranged): Hello {
  return {
    board: BOARD,
    boot: Math.abs((at[0] ?? 0) % COUNTER)
      .toString(16)
      .toUpperCase()
      .padStart(8, '0'),
    periodMs: periodOf(at),
    keeps: 0,
    probes: probes.map(({ name, couple }, i) => {
      const hottest = (columns[i] ?? []).reduce<number>((most, heat) => Math.max(most, heat ?? most), 0);
      return { name, couple: couple ?? (hottest > MOST_K_C ? 'S' : 'K'), form: { kind: 'deg' } };
    }),
  };
}

type Core = (input: CoreInput) => void;

function coreInto(archive: Archive): Core {
  let state = newFiring();
  return (input) => {
    const stepped = step(state, input);
    state = stepped.state;
    for (const output of stepped.outputs) {
      if (output.kind === 'reading') archive.readings(output);
      else if (output.kind === 'alert') archive.log(alertRow(output));
    }
  };
}

function logInto(
  archive: Archive,
  core: Core,
  at: number,
  json: { log: string; [field: string]: unknown },
): void {
  const log = parseLogEntry(json);
  if (log === null) return;
  archive.log({ at, madeAt: at, who: '', where: 'import', log: json.log, json, replaces: null });
  core({ kind: 'log', at, log });
}
