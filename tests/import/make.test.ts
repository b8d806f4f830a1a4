/** A firing from elsewhere in the data folder: one like any other. */
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { Readable } from 'node:stream';
import { buffer } from 'node:stream/consumers';
import { afterAll, describe, expect, it } from 'vitest';
import { ZipFile } from 'yazl';
import { exportZip } from '../../collector/archive/export.ts';
import { createFiringList } from '../../collector/archive/firing-list.ts';
import { findRunning } from '../../collector/archive/firings.ts';
import { readLog, readPlan, readReadings } from '../../collector/archive/read.ts';
import { createImportBook } from '../../collector/import/book.ts';
import { createPastFirings } from '../../collector/server/past-firings.ts';
import { complaints } from '../support/csvw.ts';
import { firingOnDisk } from '../support/firing-on-disk.ts';

const home = mkdtempSync(join(tmpdir(), 'spyhole-import-'));
afterAll(() => rmSync(home, { recursive: true, force: true }));
let count = 0;
const dataFolder = () => {
  count += 1;
  return join(home, `data-${count}`);
};
const rowsOf = async (folder: string) => {
  const rows = [];
  for await (const some of readReadings(folder)) rows.push(...some);
  return rows;
};

/** A climb of 100 °C an hour from 20 °C for ten hours, then two hours without a word, and down again. */
const MINUTES = Array.from({ length: 13 * 12 }, (_, i) => i * 5);
const CSV = `min,front (°C),back (°C)\n${MINUTES.filter((min) => min < 600 || min > 720)
  .map(
    (min) =>
      `${min},${min < 600 ? 20 + (min / 60) * 100 : 900 - (min - 720)},${min < 600 ? 15 + (min / 60) * 95 : 850}`,
  )
  .join('\n')}\n`;

async function take(data: string) {
  const book = createImportBook(data, 'UTC');
  const { mapping } = book.look(Buffer.from(CSV), { fileName: 'spring.csv', today: '2031-03-08' });
  if (mapping?.time.kind !== 'since') throw new Error('not made out');
  const started = { ...mapping, time: { ...mapping.time, start: '2031-03-08T06:00' } };
  return book.take(Readable.from([Buffer.from(CSV)]), started, 'spring.csv');
}

describe('a CSV from elsewhere', () => {
  it("becomes a firing with climb, cones and stages, as the core sees them, and keeps to the archive's own metadata", async () => {
    const data = dataFolder();
    const id = await take(data);
    expect(id).toBe('2031-03-08-spring');
    const folder = join(data, id);
    const rows = await rowsOf(folder);
    expect(rows).toHaveLength(2 * (MINUTES.length - 25));
    const climbing = rows.filter(({ at }) => at === Date.UTC(2031, 2, 8, 14));
    expect(climbing.map(({ probe, tempC, stage }) => [probe, tempC, stage])).toEqual([
      ['front', 820, 'climbing'],
      ['back', 775, 'climbing'],
    ]);
    // It rises by 100 and 95 °C an hour: the climb is found.
    expect(climbing[0]?.climbCPerH).toBeGreaterThan(90);
    expect(climbing[0]?.climbCPerH).toBeLessThan(110);
    expect(rows.at(-1)?.cone).not.toBeNull();
    const csv = readFileSync(join(folder, 'readings.csv'));
    expect(complaints(csv, readFileSync(join(folder, 'readings.csv-metadata.json'), 'utf8'))).toEqual([]);
  });

  it('says where it is from and that its couples are not known, and is not gone on with', async () => {
    const data = dataFolder();
    const folder = join(data, await take(data));
    expect(await readPlan(folder)).toMatchObject({ source: 'import', plan: { name: 'spring' } });
    const log = await readLog(folder);
    const note = log.find((row) => row.log === 'note');
    expect(note?.json.note).toContain('Taken over from spring.csv.');
    expect(note?.json.note).toContain('is not known (front, back)');
    expect(await findRunning(data, Date.UTC(2031, 2, 8, 20))).toBeNull();
    const past = createPastFirings(data, () => undefined);
    const view = await past.view('2031-03-08-spring', { width: 1000 });
    expect(view?.stages.map(({ stage }) => stage)).toContain('climbing');
    // Two hours without a reading are a gap.
    const gapAt = Date.UTC(2031, 2, 8, 17);
    const row = view?.curve.at.findIndex((at) => at > gapAt) ?? -1;
    expect(view?.curve.probes[0]?.tempC.slice(row - 2, row + 1)).toContain(null);
  });

  it('takes a name of its own where one is there already', async () => {
    const data = dataFolder();
    expect([await take(data), await take(data)]).toEqual(['2031-03-08-spring', '2031-03-08-spring-2']);
    expect(await createFiringList(data)()).toHaveLength(2);
  });

  it('never leaves the data folder, whatever it is called', async () => {
    const data = dataFolder();
    const book = createImportBook(data, 'UTC');
    const { mapping } = book.look(Buffer.from(CSV), { fileName: '..', today: '2031-03-08' });
    if (mapping === null) throw new Error('not made out');
    const id = await book.take(
      Readable.from([Buffer.from(CSV)]),
      { ...mapping, name: '../../evil/..\\x' },
      '../x',
    );
    expect(id).toBe('2031-03-08-evil-x');
    expect(readdirSync(data)).toEqual([id]);
  });
});

describe('a zip of Spyhole', () => {
  it('comes back with equal readings, log book and results, in the order in which they arrived', async () => {
    const folder = await firingOnDisk(dataFolder());
    const data = dataFolder();
    const zip = await exportZip(folder, { capture: false });
    const { id, say } = await createImportBook(data, 'UTC').zip(zip);
    expect(say).toBeNull();
    expect(id).toBe(basename(folder));
    const back = join(data, id);
    for (const name of ['readings.csv', 'log.csv', 'results.csv'])
      expect(readFileSync(join(back, name)).equals(readFileSync(join(folder, name))), name).toBe(true);
    expect(await rowsOf(back)).toEqual(await rowsOf(folder));
    expect(await readPlan(back)).toEqual({ ...(await readPlan(folder)), source: 'import' });
    expect(readdirSync(data)).toEqual([id]);
  });

  const zipOf = async (files: Record<string, string>) => {
    const zip = new ZipFile();
    for (const [name, text] of Object.entries(files)) zip.addBuffer(Buffer.from(text), name);
    zip.end();
    return buffer(zip.outputStream as Readable);
  };
  const plan = async () => readFileSync(join(await firingOnDisk(dataFolder()), 'plan.json'), 'utf8');

  it.each([
    ['no zip', async () => Buffer.from('PK\u0003\u0004 and no more')],
    ['another zip', () => zipOf({ 'letter.txt': 'Dear potter' })],
    [
      'readings that are none',
      async () => zipOf({ 'readings.csv': 'a,b\n1,2\n', 'plan.json': await plan() }),
    ],
    ['a plan that is none', () => zipOf({ 'readings.csv': 'a', 'plan.json': '{}' })],
    ['two firings', () => zipOf({ 'a/plan.json': '{}', 'b/plan.json': '{}', 'a/readings.csv': '' })],
  ])('that is %s is refused in a sentence, and nothing is left behind', async (_, made) => {
    const data = dataFolder();
    mkdirSync(data);
    await expect(createImportBook(data, 'UTC').zip(Readable.from([await made()]))).rejects.toThrow(
      /^[^\n]+\.$/,
    );
    expect(readdirSync(data)).toEqual([]);
  });

  it('cannot write beside its folder: a name in it is never a path', async () => {
    const folder = await firingOnDisk(dataFolder());
    const bytes = await buffer(await exportZip(folder, { capture: false }));
    // The same length, so that the zip stays whole: the folder's name becomes a way up.
    const id = Buffer.from(basename(folder));
    const up = Buffer.from(
      '../'
        .repeat(20)
        .slice(0, id.length - 1)
        .concat('x'),
    );
    const spoiled = Buffer.from(
      bytes.toString('latin1').replaceAll(id.toString('latin1'), up.toString('latin1')),
      'latin1',
    );
    const data = dataFolder();
    mkdirSync(data);
    writeFileSync(join(home, 'log.csv'), 'mine');
    await createImportBook(data, 'UTC')
      .zip(Readable.from([spoiled]))
      .catch(() => undefined);
    expect(readFileSync(join(home, 'log.csv'), 'utf8')).toBe('mine');
    expect(readdirSync(home).filter((name) => !name.startsWith('data-'))).toEqual(['log.csv']);
  });
});
