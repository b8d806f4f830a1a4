/** What is timed, one after the other, with the machine it was timed on. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, statSync } from 'node:fs';
import { cpus, tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { gzipSync } from 'node:zlib';
import { REACHED, stallToWays } from '../support/stall-to-ways.ts';
import { writeLongCapture } from './long-capture.ts';

const cpu = cpus();
console.log(`Node ${process.version}, ${cpu.length} × ${cpu[0]?.model ?? 'unknown'}`);

const folder = mkdtempSync(join(tmpdir(), 'spyhole-bench-'));
try {
  for (const hours of [6, 24]) {
    const path = join(folder, `${hours}h.capture`);
    await writeLongCapture(path, hours);
    const begun = performance.now();
    const done = spawnSync('/usr/bin/env', ['node', 'collector/spyhole.mjs', 'rerun', path, '--json'], {
      stdio: ['ignore', 'ignore', 'pipe'],
      env: { ...process.env, NODE_OPTIONS: '' },
    });
    const seconds = (performance.now() - begun) / 1000;
    const megabytes = statSync(path).size / 1e6;
    console.log(
      `rerun, ${hours} h at 1 Hz with 4 probes (${megabytes.toFixed(1)} MB): ${seconds.toFixed(2)} s, exit ${done.status}`,
    );
  }
  const page = join(folder, 'page');
  // From its own folder: it finds the page's sources beside itself.
  const { buildPage } = await import(pathToFileURL('dashboard/build.mjs').href);
  const { files, later } = (await buildPage(page)) as { files: string[]; later: ReadonlySet<string> };
  for (const [what, belongs] of [
    ['page in English', (name: string) => !/^(german-|worker[.])/.test(name) && !later.has(name)],
    ['page in German', (name: string) => !/^(english-|worker[.])/.test(name) && !later.has(name)],
    ['worker', (name: string) => name === 'worker.js'],
    ['rooms that are entered later', (name: string) => later.has(name)],
  ] as const) {
    const scripts = files.filter((name) => name.endsWith('.js') && belongs(name));
    const bytes = scripts.reduce((sum, name) => sum + gzipSync(readFileSync(join(page, name))).length, 0);
    console.log(`script sent to a phone, gzipped, ${what}: ${(bytes / 1000).toFixed(1)} kB`);
  }
  const stalls = [];
  for (let run = 0; run < 5; run += 1) stalls.push(await stallToWays(mkdtempSync(join(folder, 'stall-'))));
  for (const way of REACHED) {
    const each = stalls.map((after) => after[way]).toSorted((a, b) => a - b);
    const [middle = 0, most = 0] = [each[2], each.at(-1)];
    console.log(`stall raised to ${way}: median ${middle.toFixed(1)} ms, most ${most.toFixed(1)} ms of 5`);
  }
} finally {
  rmSync(folder, { recursive: true, force: true });
}
