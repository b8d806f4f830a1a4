import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { createPastFirings } from '../../collector/server/past-firings.ts';
import { isResultsPath } from '../../collector/server/results-doors.ts';
import { resultsConflictSchema, resultsSchema } from '../../protocol/results.ts';
import { KEY, serve } from './support.ts';

const ID = '2031-03-01-spring';
const ROW = { place: 'front low', shape: 'mug', good: 9, seconds: 2, lost: 1 };

async function withFiring(options: Parameters<typeof serve>[0] = {}) {
  const dataFolder = mkdtempSync(join(tmpdir(), 'spyhole-doors-'));
  onTestFinished(() => rmSync(dataFolder, { recursive: true, force: true }));
  mkdirSync(join(dataFolder, ID));
  writeFileSync(join(dataFolder, ID, 'readings.csv'), '');
  const { port } = await serve({ firings: createPastFirings(dataFolder, () => undefined), ...options });
  const own = `http://127.0.0.1:${port}`;
  const address = `${own}/api/firings/${ID}/results`;
  const put = (body: unknown, headers: Record<string, string> = { Origin: own }, where = address) =>
    fetch(where, {
      method: 'PUT',
      headers: { 'Content-Type': 'application/json', ...headers },
      body: typeof body === 'string' ? body : JSON.stringify(body),
    });
  return { address, own, put, file: join(dataFolder, ID, 'results.csv') };
}

describe('results over HTTP', () => {
  it('are empty first, are kept, and come back', async () => {
    const { address, put } = await withFiring();
    expect(await (await fetch(address)).json()).toEqual({ revision: '', rows: [] });
    const answer = await put({ revision: '', rows: [ROW] });
    expect(answer.status).toBe(200);
    const kept = resultsSchema.parse(await answer.json());
    expect(kept.rows[0]).toMatchObject(ROW);
    expect(await (await fetch(address)).json()).toEqual(kept);
  });

  it('of a second phone that has not seen the first one are answered 409 with a sentence and the newer table', async () => {
    const { put } = await withFiring();
    await put({ revision: '', rows: [ROW] });
    const answer = await put({ revision: '', rows: [{ ...ROW, good: 1 }] });
    expect(answer.status).toBe(409);
    const { text, results } = resultsConflictSchema.parse(await answer.json());
    expect(text).toMatch(/^[^.]+\.$/);
    expect(results.rows[0]?.good).toBe(9);
    expect((await put({ ...results, rows: [{ ...ROW, good: 1 }] })).status).toBe(200);
  });

  it.each([
    ['no JSON', '{', 400],
    ['no table', { revision: '' }, 400],
    ['a count below none', { revision: '', rows: [{ ...ROW, good: -1 }] }, 400],
    ['a kind twice at a place', { revision: '', rows: [ROW, ROW] }, 400],
    ['a photo that is a path', { revision: '', rows: [{ ...ROW, photos: ['../plan.json'] }] }, 400],
    ['too much', { revision: '', rows: [], more: 'x'.repeat(1_100_000) }, 400],
  ])('with %s are refused in a sentence', async (_, body, status) => {
    const { put, address } = await withFiring();
    const answer = await put(body);
    expect(answer.status).toBe(status);
    expect(String((await answer.json()).text)).toContain('not kept');
    expect(await (await fetch(address)).json()).toEqual({ revision: '', rows: [] });
  });

  it('are taken from the own page only', async () => {
    const { put } = await withFiring();
    const table = { revision: '', rows: [ROW] };
    expect((await put(table, {})).status).toBe(403);
    expect((await put(table, { Origin: 'http://evil.example' })).status).toBe(403);
    expect((await put(table, { Authorization: `Bearer ${KEY}` })).status).toBe(200);
  });

  it('of a firing that is not there are none', async () => {
    const { put, own } = await withFiring();
    for (const id of ['nothing', '..', '%2e%2e', '..%2fetc'])
      expect([403, 404, 405]).toContain(
        (await put({ revision: '', rows: [] }, { Origin: own }, `${own}/api/firings/${id}/results`)).status,
      );
  });

  it('that cannot be read are told and not written over', async () => {
    const { put, address, file } = await withFiring();
    writeFileSync(file, 'place,shape,good,seconds,lost\nfront,mug,nine,0,0\n');
    for (const answer of [await fetch(address), await put({ revision: '', rows: [ROW] })]) {
      expect(answer.status).toBe(422);
      expect(String((await answer.json()).text)).toContain('mend it');
    }
  });
});

describe('what may be written to', () => {
  it.each([
    ['/api/firings/a/results', true],
    ['/kiln/back/api/firings/a/results', true],
    ['/api/firings/a', false],
    ['/api/firings/a/b/results', false],
    ['/api/firings/a/results/', false],
    ['/x/api/firings/a/results', false],
  ])('%s: %s', (path, may) => {
    expect(isResultsPath(path)).toBe(may);
  });
});
