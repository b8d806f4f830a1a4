/** Where the built page is. */
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** The bundle of the page lies beside the bundle of the collector. */
export const PAGE_FOLDER = join(dirname(dirname(fileURLToPath(import.meta.url))), 'page');
