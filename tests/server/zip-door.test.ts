import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { createPastFirings } from '../../collector/server/past-firings.ts';
import { firingOnDisk } from '../support/firing-on-disk.ts';
import { unzip } from '../support/unzip.ts';
import { serve } from './support.ts';

const dataFolder = mkdtempSync(join(tmpdir(), 'spyhole-zip-door-'));
afterAll(() => rmSync(dataFolder, { recursive: true, force: true }));
let id = '';
beforeAll(async () => {
  id = basename(await firingOnDisk(dataFolder));
});
const own = async (options: Parameters<typeof serve>[0] = {}) => {
  const { port } = await serve({ firings: createPastFirings(dataFolder, () => undefined), ...options });
  return `http://127.0.0.1:${port}`;
};

describe('a firing over HTTP, to take away', () => {
  it('is a zip under its own name', async () => {
    const answer = await fetch(
      `${await own()}/api/firings/${encodeURIComponent(id)}/spyhole-${encodeURIComponent(id)}.zip`,
    );
    expect(answer.status).toBe(200);
    expect(answer.headers.get('content-type')).toBe('application/zip');
    expect(answer.headers.get('content-disposition')).toContain(encodeURIComponent(`spyhole-${id}.zip`));
    expect(answer.headers.get('cache-control')).toBe('no-store');
    const files = await unzip(Buffer.from(await answer.arrayBuffer()));
    expect(files.get(`${id}/readings.csv`)?.length).toBeGreaterThan(10_000);
  });

  it.each([
    ['another name', (of: string) => `${of}/spyhole-other.zip`],
    ['a file of the folder', (of: string) => `${of}/readings.csv`],
    ['a firing that is not there', () => 'nothing/spyhole-nothing.zip'],
    ['a folder above', () => '%2e%2e/spyhole-%2e%2e.zip'],
    ['a folder beside', () => '..%2fother/spyhole-..%2fother.zip'],
  ])('is not to be had as %s', async (_, path) => {
    const answer = await fetch(`${await own()}/api/firings/${path(encodeURIComponent(id))}`);
    expect(answer.status).toBe(404);
  });

  it('needs the key in the open network', async () => {
    const zip = `/api/firings/${encodeURIComponent(id)}/spyhole-${encodeURIComponent(id)}.zip`;
    expect((await fetch(`${await own({ lan: true })}${zip}`)).status).toBe(403);
  });
});
