/** `npm run score`: how good the alerts and forecasts are, on simulated firings whose truth is known. */
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { BUILD, install, ROOT } from '../collector/set-up.mjs';

install({ dev: true });
const esbuild = await import('esbuild');
const outfile = join(BUILD, 'score.mjs');
await esbuild.build({
  entryPoints: [join(ROOT, 'tests', 'score', 'main.ts')],
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
