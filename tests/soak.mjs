/**
 * `npm run soak`: a day of the emulated board with its cable pulled again and again, and more of the like. It takes the
 * better part of an hour; the figures go to stdout, and the exit status is 1 if any of them is not as it must be.
 */
import { runBundled } from './bundle.mjs';

await runBundled('soak');
