/** `npm run score`: how good the alerts and forecasts are, on simulated firings whose truth is known. */
import { runBundled } from './bundle.mjs';

await runBundled('score');
