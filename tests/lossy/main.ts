/** `npm run lossy`: a million readings over a link on which one bit in ten thousand is flipped. Ends with 1 if any was false, or lost. */
import { runBadLink } from './bad-link.ts';

const READINGS = 1_000_000;
const BIT_ERROR_RATE = 1e-4;

const began = performance.now();
const report = runBadLink(READINGS, BIT_ERROR_RATE, 20_310_308);
console.log(JSON.stringify(report, null, 2));
console.log(`${((performance.now() - began) / 1000).toFixed(1)} s`);
const failed = report.false + report.twice + report.lost + report.toldGone;
console.log(failed === 0 ? 'No false reading, and none lost.' : `${failed} readings false, twice, or lost.`);
process.exitCode = failed === 0 ? 0 : 1;
