/** A short invented firing in a data folder, made by the core as a live one is: with late readings, notes and results. */

import { saveResults } from '../../collector/archive/results.ts';
import { createFiring } from '../../collector/archive/write.ts';
import type { CoreInput } from '../../collector/core/inputs.ts';
import { newFiring } from '../../collector/core/state.ts';
import { step } from '../../collector/core/step.ts';
import { parseLogEntry } from '../../protocol/log-entries.ts';
import { planSchema } from '../../protocol/plan.ts';

export const BEGUN_AT = Date.UTC(2031, 2, 8, 5);
const PERIOD_MS = 20_000;
const READINGS = 3 * 180;
/** These arrive a quarter of an hour late. */
const LATE = { from: 200, to: 230, after: 245 };
const HELLO = {
  board: 'shed-1',
  boot: '9F00C2A1',
  periodMs: PERIOD_MS,
  keeps: 3600,
  probes: [
    { name: 'front-low', couple: 'K' as const, form: { kind: 'deg' as const } },
    { name: 'back', couple: 'S' as const, form: { kind: 'deg' as const } },
  ],
};

/** The folder of the firing. */
export async function firingOnDisk(dataFolder: string, name = 'Frühjahr'): Promise<string> {
  const plan = planSchema.parse({
    name,
    load: [{ place: 'front low', shape: 'Krüge', pieces: 12 }],
    conePacks: [{ place: 'back high', guide: '8', firing: '10', guard: '11' }],
  });
  const archive = await createFiring({
    dataFolder,
    name,
    startedAt: BEGUN_AT,
    plan,
    source: 'demo',
    onTrouble: (text) => {
      if (text !== null) throw new Error(text);
    },
  });
  let state = newFiring(plan);
  const take = (input: CoreInput) => {
    const stepped = step(state, input);
    state = stepped.state;
    for (const output of stepped.outputs) if (output.kind === 'reading') archive.readings(output);
  };
  const log = (at: number, json: Record<string, unknown> & { log: string }) => {
    const parsed = parseLogEntry(json);
    if (!parsed) throw new Error(`no entry: ${JSON.stringify(json)}`);
    archive.log({ at, madeAt: at, who: 'Ümit', where: 'phone 3f9a', log: json.log, json, replaces: null });
    take({ kind: 'log', at, log: parsed });
  };
  const reading = (seq: number, late: boolean): CoreInput => ({
    kind: 'reading',
    at: BEGUN_AT + seq * PERIOD_MS,
    board: HELLO.board,
    boot: HELLO.boot,
    seq,
    uptimeMs: seq * PERIOD_MS,
    coldJunctionC: 20.5,
    values: [
      { probe: 'front-low', raw: seq === 100 ? '!open' : 20 + seq / 2 },
      { probe: 'back', raw: 25 + seq / 3 },
    ],
    late,
  });
  archive.log({
    at: BEGUN_AT,
    madeAt: BEGUN_AT,
    who: '',
    where: 'collector',
    log: 'hello',
    json: { ...HELLO },
    replaces: null,
  });
  take({ kind: 'hello', at: BEGUN_AT, hello: HELLO });
  archive.plan({ plan, boards: [HELLO], startedAt: BEGUN_AT, source: 'demo' });
  log(BEGUN_AT + 1, { log: 'plan', ...plan });
  log(BEGUN_AT + 2, { log: 'light-up' });
  for (let seq = 0; seq < READINGS; seq += 1) {
    if (seq >= LATE.from && seq < LATE.to) continue;
    take(reading(seq, false));
    if (seq === LATE.after)
      for (let missed = LATE.from; missed < LATE.to; missed += 1) take(reading(missed, true));
    if (seq % 40 === 0)
      log(BEGUN_AT + seq * PERIOD_MS + 1, { log: 'stoke', hole: 'left', id: `stoke-${seq}` });
  }
  log(BEGUN_AT + READINGS * PERIOD_MS, { log: 'note', note: 'Wind aus Südwest, "böig", 3 Bft\nund Regen' });
  log(BEGUN_AT + READINGS * PERIOD_MS + 1, { log: 'note', note: '=1+1' });
  await archive.close();
  await saveResults(
    archive.folder,
    {
      revision: '',
      rows: [
        {
          place: 'front low',
          shape: 'Krüge',
          clay: '',
          loaded: 12,
          good: 9,
          seconds: 2,
          lost: 1,
          faults: ['cracked', 'stuck'],
          blush: 'some',
          colour: 'grün, "glatt"',
          notes: '',
          photos: ['a.jpg', 'b.jpg'],
        },
      ],
    },
    name,
  );
  return archive.folder;
}
