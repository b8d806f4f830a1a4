/** `npm run bench`: timings, which depend on the machine and so are no tests. */
import { build, install } from '../collector/set-up.mjs';
import { runBundled } from './bundle.mjs';

install({ dev: true });
// What is timed shall not build.
await build();
await runBundled('bench');
