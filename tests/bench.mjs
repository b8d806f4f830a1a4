/** `npm run bench`: timings, which depend on the machine and so are no tests. */
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { BUILD, build, install, ROOT } from '../collector/set-up.mjs';

install({ dev: true });
await build();
const esbuild = await import('esbuild');
const outfile = join(BUILD, 'bench.mjs');
await esbuild.build({
  entryPoints: [join(ROOT, 'tests', 'bench', 'main.ts')],
  outfile,
  bundle: true,
  platform: 'node',
  format: 'esm',
  target: 'node20',
  packages: 'external',
  logLevel: 'error',
});
await import(pathToFileURL(outfile).href);
