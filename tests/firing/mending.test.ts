/** An entry whose time or words are put right: a new row in place of the old one, whoever names it, also after a restart. */
import { cp } from 'node:fs/promises';
import { join } from 'node:path';
import { expect, it, onTestFinished } from 'vitest';
import { pickUpFiring } from '../../collector/firing/begin.ts';
import { loadFiring } from '../../collector/server/recorded.ts';
import { defaultPlan } from '../../protocol/plan.ts';
import { formatTime } from '../../protocol/times.ts';
import { tempFolder } from '../support/collector.ts';
import { type ScriptedWatch, START, scriptedWatch } from './scripted-watch.ts';

const MINUTE = 60_000;
const salt = (id: string, more: Record<string, unknown> = {}) => ({
  log: 'salt',
  hole: 'left',
  g: 500,
  id,
  ...more,
});
const minutesAgo = (minutes: number) => formatTime(START - minutes * MINUTE);

async function withSalt(): Promise<ScriptedWatch> {
  const scripted = await scriptedWatch();
  scripted.hello();
  scripted.readings(1);
  expect(scripted.watch.log(salt('s1', { who: 'Mira' }), 'page')).toBeNull();
  return scripted;
}

const salts = ({ firing }: ScriptedWatch) =>
  firing.feed.view({ width: 500 }).log.filter(({ log }) => log === 'salt');
const charges = ({ firing }: ScriptedWatch) => firing.beginning.pipeline.core.logged.charges;

it('stands in the place of the old one, in the core, in the archive and on the pages', async () => {
  const scripted = await withSalt();
  expect(scripted.watch.log(salt('s2', { mends: 's1', at: minutesAgo(12) }), 'page')).toBeNull();
  expect(charges(scripted)).toEqual([{ at: START - 12 * MINUTE, hole: 'left', g: 500 }]);
  expect(salts(scripted)).toMatchObject([
    { id: 's1', undone: true },
    { id: 's2', undone: false, at: START - 12 * MINUTE },
  ]);
  const rows = (await scripted.logRows()).filter(({ log }) => log === 'salt');
  expect(rows[1]).toMatchObject({ at: minutesAgo(12), replaces: rows[0]?.entry });
  expect(scripted.firing.beginning.pipeline.core.stage.stage).toBe('salting');
});

it('is taken once, though its phone sends it twice', async () => {
  const scripted = await withSalt();
  const mended = salt('s2', { mends: 's1', at: minutesAgo(12) });
  expect(scripted.watch.log(mended, 'page')).toBeNull();
  expect(scripted.watch.log(mended, 'page')).toBeNull();
  expect(salts(scripted)).toHaveLength(2);
});

it('is taken back by whoever knows it by any of its names', async () => {
  const scripted = await withSalt();
  scripted.watch.log(salt('s2', { mends: 's1', at: minutesAgo(12) }), 'page');
  scripted.watch.log(salt('s3', { mends: 's2', g: 300 }), 'page');
  expect(scripted.watch.log({ log: 'undo', id: 's1' }, 'page')).toBeNull();
  expect(charges(scripted)).toEqual([]);
  expect(salts(scripted).map(({ undone }) => undone)).toEqual([true, true, true]);
  // The stage that the salt alone spoke for is taken back with it.
  expect(scripted.firing.beginning.pipeline.core.stage.stage).not.toBe('salting');
  const rows = await scripted.logRows();
  const last = rows.findLast(({ log }) => log === 'salt');
  expect(rows.at(-1)).toMatchObject({ log: 'undo', replaces: last?.entry });
});

it.each([
  ['after another phone took the entry back', [{ log: 'undo', id: 's1' }], 's1', 'salt', 'taken back'],
  ['of an entry that never was', [], 'nowhere', 'salt', 'taken back'],
  ['into another kind', [], 's1', 'stoke', 'cannot be mended'],
])('%s it is refused in a sentence, and nothing changes', async (_, before, mends, log, why) => {
  const scripted = await withSalt();
  for (const entry of before) scripted.watch.log(entry, 'page');
  const had = salts(scripted).length;
  const left = charges(scripted).length;
  expect(scripted.watch.log({ ...salt('s2', { mends }), log }, 'page')).toContain(why);
  expect(salts(scripted)).toHaveLength(had);
  expect(charges(scripted)).toHaveLength(left);
});

it('a collector that starts again knows what was mended, and takes what comes twice only once', async () => {
  const scripted = await withSalt();
  const late = salt('offline', { hole: 'right', at: minutesAgo(30) });
  scripted.watch.log(late, 'page');
  scripted.watch.log(salt('s2', { mends: 's1', at: minutesAgo(12) }), 'page');
  await scripted.firing.archive.flush();
  const copy = tempFolder();
  onTestFinished(() => copy.remove());
  const folder = join(copy.path, scripted.firing.archive.id);
  await cp(scripted.firing.archive.folder, folder, { recursive: true });
  const settings = {
    clock: scripted.clock,
    dataFolder: copy.path,
    plan: defaultPlan(),
    source: 'board' as const,
    run: 'again',
    onTrouble: () => undefined,
    say: () => undefined,
  };
  const again = await pickUpFiring(settings, folder);
  const { entries, pipeline } = again.beginning;
  expect(pipeline.core.logged.charges).toEqual(charges(scripted));
  expect(again.feed.view({ width: 500 }).log.filter(({ undone }) => !undone)).toHaveLength(3);
  // The phone that was offline sends once more: its id is known. The old name leads to the row that stands now.
  expect(entries.has('offline')).toBe(true);
  expect(entries.get('s1')).toBe(entries.get('s2'));
  await again.archive.close();
  const record = await loadFiring(folder, () => undefined);
  const shown = record?.log.filter(({ log, undone }) => log === 'salt' && !undone);
  expect(shown?.map(({ id, at }) => [id, at])).toEqual([
    ['offline', START - 30 * MINUTE],
    ['s2', START - 12 * MINUTE],
  ]);
});
