/** `npm run lossy`: too long for the tests, of which a smaller count is one. */
import { runBundled } from './bundle.mjs';

await runBundled('lossy');
