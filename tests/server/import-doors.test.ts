/** Files sent by the page: who may, how large, and what is answered. */
import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { request } from 'node:http';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { buffer } from 'node:stream/consumers';
import { describe, expect, it, onTestFinished } from 'vitest';
import { exportZip } from '../../collector/archive/export.ts';
import { createImportBook } from '../../collector/import/book.ts';
import { isImportPath } from '../../collector/server/import-doors.ts';
import { createPastFirings } from '../../collector/server/past-firings.ts';
import {
  lookedSchema,
  PROGRESS_TYPE,
  takenSchema,
  takingSchema,
  triedSchema,
} from '../../protocol/imports.ts';
import { firingOnDisk } from '../support/firing-on-disk.ts';
import { KEY, serve } from './support.ts';

const CSV = 'when,front °C\n2031-03-08 06:30,20\n2031-03-08 06:35,30\n2031-03-08 06:40,41\n';

async function house(options: Parameters<typeof serve>[0] = {}) {
  const dataFolder = mkdtempSync(join(tmpdir(), 'spyhole-import-doors-'));
  onTestFinished(() => rmSync(dataFolder, { recursive: true, force: true }));
  const firings = createPastFirings(dataFolder, () => undefined, createImportBook(dataFolder, 'UTC'));
  const { port } = await serve({ firings, ...options });
  const own = `http://127.0.0.1:${port}`;
  const post = (
    what: string,
    body: string | Uint8Array<ArrayBuffer>,
    query: Record<string, string> = {},
    headers: Record<string, string> = { Origin: own },
  ) =>
    fetch(`${own}/api/import/${what}?${new URLSearchParams(query)}`, {
      method: 'POST',
      headers: { 'Content-Type': 'application/octet-stream', ...headers },
      body,
    });
  return { dataFolder, own, port, post };
}

describe('a CSV over HTTP', () => {
  it('is looked at, tried and taken', async () => {
    const { post, dataFolder, own } = await house();
    const looked = lookedSchema.parse(
      await (await post('look', CSV, { name: 'old.csv', today: '2031-03-08' })).json(),
    );
    expect(looked.mapping).toMatchObject({ name: 'old', unit: 'C' });
    const mapping = JSON.stringify(looked.mapping);
    const tried = triedSchema.parse(await (await post('try', CSV, { mapping })).json());
    expect(tried).toMatchObject({ rows: 3, everyMs: 300_000, probes: [{ name: 'front', mostC: 41 }] });
    expect(readdirSync(dataFolder)).toEqual([]);
    const { id } = takenSchema.parse(await (await post('take', CSV, { mapping, name: 'old.csv' })).json());
    expect(readdirSync(dataFolder)).toEqual([id]);
    expect((await fetch(`${own}/api/firings/${id}`)).status).toBe(200);
  });

  it('says how far it is to whoever asks for it, and the answer last', async () => {
    const { post, own, dataFolder } = await house();
    const rows = Array.from({ length: 3000 }, (_, i) => `${i},${20 + i / 100}`);
    const csv = `seconds,front °C\n${rows.join('\n')}\n`;
    const looked = lookedSchema.parse(
      await (await post('look', csv.slice(0, 2000), { today: '2031-03-08', delimiter: ',' })).json(),
    );
    const answer = await post(
      'take',
      csv,
      { mapping: JSON.stringify(looked.mapping), name: 'long.csv' },
      { Origin: own, Accept: PROGRESS_TYPE },
    );
    expect(answer.headers.get('content-type')).toBe(PROGRESS_TYPE);
    const lines = (await answer.text())
      .trim()
      .split('\n')
      .map((line): unknown => JSON.parse(line));
    const told = lines.slice(0, -1).map((line) => takingSchema.parse(line));
    expect(told.length).toBeGreaterThan(0);
    expect(new Set(told.map(({ of }) => of))).toEqual(new Set([3000]));
    expect(told.map(({ rows }) => rows)).toEqual([...told.map(({ rows }) => rows)].sort((a, b) => a - b));
    expect(readdirSync(dataFolder)).toEqual([takenSchema.parse(lines.at(-1)).id]);
  });

  it('that cannot be written after all is refused in the last line', async () => {
    const { post, own, dataFolder } = await house();
    const looked = lookedSchema.parse(await (await post('look', CSV, { today: '2031-03-08' })).json());
    rmSync(dataFolder, { recursive: true, force: true });
    writeFileSync(dataFolder, 'a file where the folder should be');
    const answer = await post(
      'take',
      CSV,
      { mapping: JSON.stringify(looked.mapping), name: 'old.csv' },
      { Origin: own, Accept: PROGRESS_TYPE },
    );
    const last: unknown = JSON.parse((await answer.text()).trim().split('\n').at(-1) ?? '');
    expect(last).toMatchObject({ text: expect.stringContaining('data folder') });
  });

  it.each([
    ['columns that are not set', 'try', { mapping: '{"name":"x"}' }, 422, 'The columns are not set'],
    ['no columns', 'take', {}, 422, 'The columns are not set'],
    ['an endless address', 'look', { name: 'x'.repeat(300) }, 400, 'cannot be read'],
  ] as const)('with %s is refused in a sentence', async (_, what, query, status, text) => {
    const { post, dataFolder } = await house();
    const answer = await post(what, CSV, query);
    expect(answer.status).toBe(status);
    expect(String((await answer.json()).text)).toContain(text);
    expect(readdirSync(dataFolder)).toEqual([]);
  });

  it('is taken from the own page only, and in the open network with the key', async () => {
    const { post } = await house();
    expect((await post('look', CSV, {}, {})).status).toBe(403);
    expect((await post('look', CSV, {}, { Origin: 'http://evil.example' })).status).toBe(403);
    expect((await post('look', CSV, {}, { Authorization: `Bearer ${KEY}` })).status).toBe(200);
    const open = await house({ lan: true });
    expect((await open.post('look', CSV)).status).toBe(403);
  });

  it('that says it is too large is refused before it is sent', async () => {
    const { port, own } = await house();
    const status = await new Promise<[number, string]>((resolve, reject) => {
      const sent = request(
        {
          port,
          host: '127.0.0.1',
          method: 'POST',
          path: '/api/import/try?mapping=x',
          headers: { Origin: own, 'Content-Length': String(65 * 1024 * 1024) },
        },
        (answer) => {
          buffer(answer).then((bytes) => {
            resolve([answer.statusCode ?? 0, bytes.toString()]);
            sent.destroy();
          }, reject);
        },
      );
      sent.on('error', reject);
      sent.write('when,front\n');
    });
    expect(status[0]).toBe(413);
    expect(status[1]).toContain('larger than 64 MB');
  });
});

describe('a zip over HTTP', () => {
  it('is taken back', async () => {
    const { post, dataFolder } = await house();
    const other = mkdtempSync(join(tmpdir(), 'spyhole-zip-from-'));
    onTestFinished(() => rmSync(other, { recursive: true, force: true }));
    const zip = await buffer(await exportZip(await firingOnDisk(other), { capture: false }));
    const answer = await post('zip', new Uint8Array(zip));
    expect(answer.status).toBe(200);
    expect(readdirSync(dataFolder)).toEqual([takenSchema.parse(await answer.json()).id]);
  });
});

describe('where a file may be sent', () => {
  it.each([
    ['/api/import/look', true],
    ['/kiln/back/api/import/zip', true],
    ['/api/import', false],
    ['/api/import/other', false],
    ['/api/import/look/', false],
  ])('%s: %s', (path, may) => {
    expect(isImportPath(path)).toBe(may);
  });
});
