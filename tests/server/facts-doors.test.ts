import { appendFileSync, mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { createFactsBook, firingYield } from '../../collector/server/facts-book.ts';
import { createPastFirings } from '../../collector/server/past-firings.ts';
import { firingFactsAnswerSchema } from '../../protocol/firing-facts.ts';
import { planSchema } from '../../protocol/plan.ts';
import {
  begin,
  folders,
  helloRow,
  logRow,
  readingInput,
  readingOutput,
  STARTED_AT,
} from '../archive/sample.ts';
import { serve } from './support.ts';

const PLAN = planSchema.parse({ name: 'early', load: [{ place: 'front low', shape: 'mug', pieces: 12 }] });
const newFolder = folders();

/** A firing of a few minutes, with a stoke and a clam-up, and mugs in its results. */
async function withFiring() {
  const dataFolder = newFolder();
  const { archive } = await begin(dataFolder, { plan: PLAN, name: 'early' });
  archive.log(helloRow(STARTED_AT));
  for (let seq = 0; seq < 300; seq += 1) archive.readings(readingOutput(readingInput(seq)));
  archive.log(logRow(STARTED_AT + 1000, { log: 'light-up', id: 'l' }));
  archive.log(logRow(STARTED_AT + 2000, { log: 'stoke', hole: 'left', kg: 9, id: 's' }));
  archive.log(logRow(STARTED_AT + 240_000, { log: 'clam-up', id: 'c' }));
  await archive.close();
  const results = (text: string) => writeFileSync(join(archive.folder, 'results.csv'), text);
  const { port } = await serve({ firings: createPastFirings(dataFolder, () => undefined) });
  const ask = async (id: string) => {
    const response = await fetch(`http://127.0.0.1:${port}/api/firings/${id}/facts`);
    return { status: response.status, body: response.ok ? await response.json() : null };
  };
  return { dataFolder, archive, results, ask };
}

describe('the facts of a firing over HTTP', () => {
  it('are its figures and what came out of it', async () => {
    const { archive, results, ask } = await withFiring();
    results('place,shape,good,seconds,lost\nfront low,mug,9,1,2\nback low,jar,3,0,1\nfront low,jar,0,1,0\n');
    const { status, body } = await ask(archive.id);
    expect(status).toBe(200);
    const { facts, troubles, yield: came } = firingFactsAnswerSchema.parse(body);
    expect(troubles).toEqual([]);
    expect(facts).toMatchObject({
      litAt: STARTED_AT + 1000,
      closedAt: STARTED_AT + 240_000,
      stokes: 1,
      woodKg: 9,
      pieces: 12,
      topC: 699.5 + 0.5,
    });
    expect(came).toMatchObject({ good: 12, seconds: 2, lost: 3, share: 12 / 17 });
    expect(came?.places).toEqual([
      { place: 'front low', good: 9, seconds: 2, lost: 2 },
      { place: 'back low', good: 3, seconds: 0, lost: 1 },
    ]);
  });

  it('of the firing that burns are those of now', async () => {
    const { ask } = await withFiring();
    const { body } = await ask('2031-03-08-spring');
    expect(firingFactsAnswerSchema.parse(body)).toMatchObject({ facts: { litAt: null }, yield: null });
  });

  it('are shown as far as they go where rows are torn and results cannot be read, with a sentence each', async () => {
    const { archive, results, ask } = await withFiring();
    appendFileSync(join(archive.folder, 'readings.csv'), 'this is no row\r\n17,half a ro');
    results('place,shape,good,seconds,lost\nfront,mug,nine,0,0\n');
    const { facts, yield: came, troubles } = firingFactsAnswerSchema.parse((await ask(archive.id)).body);
    expect(facts.stokes).toBe(1);
    expect(came).toBeNull();
    expect(troubles).toEqual([
      expect.stringContaining('rows that cannot be read'),
      expect.stringContaining('mend it'),
    ]);
  });

  it('of a firing that is not there are none', async () => {
    const { ask } = await withFiring();
    for (const id of ['nothing', '%2e%2e', '..%2fetc']) expect([403, 404]).toContain((await ask(id)).status);
  });

  it('are reckoned once, until the files change', async () => {
    const { dataFolder, archive } = await withFiring();
    let version = '1';
    const book = createFactsBook(dataFolder, async () => version);
    const [first, again] = await Promise.all([book(archive.id), book(archive.id)]);
    expect(first).not.toBeNull();
    expect(again).toBe(first);
    version = '2';
    const changed = await book(archive.id);
    expect(changed).not.toBe(first);
    expect(changed).toEqual(first);
  });

  it('are none of a folder with nothing in it', async () => {
    const dataFolder = newFolder();
    mkdirSync(join(dataFolder, 'empty'));
    expect(await createFactsBook(dataFolder, async () => '')('empty')).toBeNull();
  });
});

it('a table in which nothing was counted is no yield', () => {
  expect(firingYield({ revision: '', rows: [] })).toBeNull();
});
