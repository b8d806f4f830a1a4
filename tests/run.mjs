/**
 * `npm test`: sets up what the tests need (packages; Debian's chromium, socat and gcc-avr where it may), runs the checks
 * and all tests, and ends with one line `N passed, N failed`.
 */
import { spawn, spawnSync } from 'node:child_process';
import { existsSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { BUILD, build, install, ROOT } from '../collector/set-up.mjs';

/**
 * Runs a command with its output shown.
 * @param {string} command
 * @param {string[]} args
 */
const run = (command, args) =>
  spawnSync(command, args, { cwd: ROOT, stdio: ['ignore', 'inherit', 'inherit'] }).status;

/** What the browser, the serial and the board-sketch tests run on, by Debian's package names. */
const TOOLS = [
  { package: 'chromium', path: '/usr/bin/chromium' },
  { package: 'socat', path: '/usr/bin/socat' },
  { package: 'gcc-avr', path: '/usr/bin/avr-g++' },
  { package: 'avr-libc', path: '/usr/lib/avr/include/avr/io.h' },
];

function installTools() {
  const missing = TOOLS.filter((tool) => !existsSync(tool.path)).map((tool) => tool.package);
  if (missing.length === 0) return;
  if (process.getuid?.() !== 0 || !existsSync('/usr/bin/apt-get')) {
    console.log(
      `Not installed and not to be installed from here: ${missing.join(', ')}. The tests that need them are skipped.`,
    );
    return;
  }
  run('apt-get', ['update', '-qq']);
  run('apt-get', ['install', '-y', '-qq', '--no-install-recommends', ...missing]);
}

install({ dev: true });
installTools();
await build();

/**
 * Runs a check beside others; what it says is shown in one piece once it has ended.
 * @param {string} check
 * @returns {Promise<boolean>}
 */
function runCheck(check) {
  const child = spawn('npm', ['run', '--silent', `check:${check}`], { cwd: ROOT });
  let said = '';
  for (const stream of [child.stdout, child.stderr]) stream.on('data', (chunk) => (said += chunk));
  return new Promise((resolve) => {
    child.on('close', (status) => {
      process.stdout.write(`${said}check:${check} ${status === 0 ? 'passed' : 'FAILED'}\n`);
      resolve(status === 0);
    });
  });
}

const checks = await Promise.all(['types', 'lint', 'unused', 'arrows'].map(runCheck));
let passed = checks.filter((ok) => ok).length;
let failed = checks.length - passed;

const report = join(BUILD, 'tests.json');
rmSync(report, { force: true });
const vitest = join(ROOT, 'node_modules', 'vitest', 'vitest.mjs');
const status = run(process.execPath, [
  vitest,
  'run',
  '--reporter=default',
  '--reporter=json',
  `--outputFile.json=${report}`,
]);
/** @type {{ numPassedTests: number, numFailedTests: number, numFailedTestSuites: number, numPendingTests: number, testResults: { status: string, assertionResults: unknown[] }[] }} */
const counts = JSON.parse(readFileSync(report, 'utf8'));
passed += counts.numPassedTests;
failed += counts.numFailedTests;
// A file that could not even be loaded has no tests to count.
failed += counts.testResults.filter(
  (file) => file.status === 'failed' && file.assertionResults.length === 0,
).length;
if (status !== 0 && failed === 0) failed = 1;
const skipped = counts.numPendingTests;
console.log(`${passed} passed, ${failed} failed${skipped > 0 ? `, ${skipped} skipped` : ''}`);
process.exit(failed > 0 ? 1 : 0);
