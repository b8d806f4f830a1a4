/** `spyhole sheet` and `spyhole export`, as they are typed. */
import { existsSync, readFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { hasChromium } from '../support/browser.ts';
import { runSpyhole, tempFolder } from '../support/collector.ts';
import { firingOnDisk } from '../support/firing-on-disk.ts';
import { pdfPages } from '../support/pdf-pages.ts';
import { unzip } from '../support/unzip.ts';

const home = tempFolder();
afterAll(() => home.remove());
const data = join(home.path, 'firings');
const inHome = (name: string) => join(home.path, name);
let id = '';
beforeAll(async () => {
  id = basename(await firingOnDisk(data));
});

describe('a firing on paper', () => {
  it.skipIf(!hasChromium())('is a PDF of one or two pages (needs Chromium)', async () => {
    const { status, stderr } = await runSpyhole(
      ['sheet', id, '--data', data, '--pdf', inHome('sheet.pdf'), '--paper', 'letter', '--fahrenheit'],
      home.path,
    );
    expect(stderr).toContain('sheet.pdf');
    expect(status).toBe(0);
    const pdf = readFileSync(inHome('sheet.pdf'));
    expect([1, 2]).toContain(pdfPages(pdf));
    expect(pdf.toString('latin1')).toMatch(/\/MediaBox\s*\[0 0 612 792\]/);
  });

  it('is an SVG without any browser', async () => {
    const { status } = await runSpyhole(['sheet', join(data, id), '--svg', inHome('curve.svg')], home.path);
    expect(status).toBe(0);
    expect(readFileSync(inHome('curve.svg'), 'utf8')).toContain('<svg xmlns=');
  });

  it('needs a browser for the PDF, and says what to do without one', async () => {
    const { status, stderr } = await runSpyhole(
      ['sheet', id, '--data', data, '--pdf', inHome('none.pdf'), '--browser', inHome('no-browser')],
      home.path,
    );
    expect(status).toBe(1);
    expect(stderr.trimEnd()).toMatch(/^There is no browser at [^\n]+\.$/);
    expect(existsSync(inHome('none.pdf'))).toBe(false);
  });

  it.each([
    ['sheet', ['--svg', 'x.svg']],
    ['export', ['--zip', 'x.zip']],
  ])('%s of a firing that is not there says so in one sentence', async (command, to) => {
    const { status, stderr } = await runSpyhole([command, 'nothing', '--data', data, ...to], home.path);
    expect(status).toBe(1);
    expect(stderr.trimEnd()).toMatch(/^There is no firing nothing: [^\n]+\.$/);
  });
});

describe('a firing taken away', () => {
  it('is one zip', async () => {
    const zip = inHome('taken.zip');
    const { status } = await runSpyhole(['export', id, '--data', data, '--zip', zip], home.path);
    expect(status).toBe(0);
    expect((await unzip(readFileSync(zip))).get(`${id}/plan.json`)?.length).toBeGreaterThan(100);
  });
});
