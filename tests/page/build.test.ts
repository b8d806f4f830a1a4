import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { buildPage } from '../../dashboard/build.mjs';

const folder = mkdtempSync(join(tmpdir(), 'spyhole-page-'));
let files: string[] = [];
let later: ReadonlySet<string> = new Set();
beforeAll(async () => {
  ({ files, later } = await buildPage(folder));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const text = (name: string) => readFileSync(join(folder, name), 'utf8');

it.each([
  ['English', 'german-'],
  ['German', 'english-'],
])('sends a phone in %s at most 150 kB of script, gzipped', (_, other) => {
  // Rooms that are entered later (past firings, the check, …) send theirs then.
  const scripts = files.filter((name) => name.endsWith('.js') && !name.startsWith(other) && !later.has(name));
  const sent = scripts.reduce((sum, name) => sum + gzipSync(readFileSync(join(folder, name))).length, 0);
  expect(scripts.length).toBeGreaterThan(0);
  expect(sent).toBeLessThanOrEqual(150_000);
});

it('names each file by its content, and the page names only files that are there', () => {
  const html = text('index.html');
  const named = [...html.matchAll(/(?:href|src)="([^"]+)"/g)].map(([, name = '']) => name);
  expect(named.length).toBeGreaterThanOrEqual(4);
  for (const name of named) expect(files).toContain(name);
  // A browser asks for these by the same name for ever, and looks whether they have changed.
  const byName = ['index.html', 'manifest.webmanifest', 'worker.js'];
  for (const name of files.filter((one) => !byName.includes(one))) expect(name).toMatch(/-[A-Z0-9]{8}\.\w+$/);
});

it('has no script or style in the page itself, which the policy forbids', () => {
  const html = text('index.html');
  expect(html).not.toMatch(/<style|style="|\son\w+="|<script(?![^>]*src=)/);
});

it('fetches nothing from outside: every address in its sheets is a file beside them', () => {
  for (const name of files.filter((one) => one.endsWith('.css')))
    for (const [, address = ''] of text(name).matchAll(/url\(["']?([^"')]+)/g))
      expect(files).toContain(address.replace(/^\.\//, ''));
});
