/** Runs a TypeScript program of the tests (a benchmark, the score), bundled as the collector is. */
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { BUILD, install, ROOT } from '../collector/set-up.mjs';

/**
 * Bundles and runs `tests/<name>/main.ts`, from the checkout's folder.
 * @param {string} name
 */
export async function runBundled(name) {
  install({ dev: true });
  const esbuild = await import('esbuild');
  const outfile = join(BUILD, `${name}.mjs`);
  await esbuild.build({
    entryPoints: [join(ROOT, 'tests', name, 'main.ts')],
    outfile,
    bundle: true,
    platform: 'node',
    format: 'esm',
    target: 'node20',
    packages: 'external',
    logLevel: 'error',
  });
  process.chdir(ROOT);
  await import(pathToFileURL(outfile).href);
}
