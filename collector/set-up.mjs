/**
 * Sets up a checkout so that a command can run: installs what package-lock.json says if it is not there yet, and builds
 * the collector and the page if a source is newer than the build. Plain JavaScript, since it runs before anything is
 * installed. All that it says goes to stderr: a command's stdout is its own.
 */
import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';

export const ROOT = dirname(dirname(fileURLToPath(import.meta.url)));
/** Under node_modules, so that the top level stays as it is. */
export const BUILD = join(ROOT, 'node_modules', '.spyhole');
const SOURCES = ['protocol', 'alerts', 'collector', 'dashboard', 'package-lock.json'];

/** @param {string} text */
const say = (text) => process.stderr.write(`${text}\n`);

/**
 * Whether every package of the lock file is installed in its version.
 * @param {{ dev: boolean }} which - with the tools that only checks and tests need
 */
function isInstalled({ dev }) {
  try {
    const wanted = JSON.parse(readFileSync(join(ROOT, 'package-lock.json'), 'utf8')).packages;
    const there = JSON.parse(readFileSync(join(ROOT, 'node_modules', '.package-lock.json'), 'utf8')).packages;
    return Object.entries(wanted).every(
      ([path, { version, dev: onlyDev, devOptional, optional }]) =>
        path === '' || optional || ((onlyDev || devOptional) && !dev) || there[path]?.version === version,
    );
  } catch {
    return false;
  }
}

/**
 * Installs if need be. Throws with one sentence if that fails.
 * @param {{ dev: boolean }} which
 */
export function install(which) {
  if (isInstalled(which)) return;
  say('Spyhole: setting up (the first time takes a minute and needs the internet) …');
  const omit = which.dev ? ['--include=dev'] : ['--omit=dev'];
  const npm = process.platform === 'win32' ? 'npm.cmd' : 'npm';
  const done = spawnSync(npm, ['ci', '--no-fund', '--no-audit', '--loglevel=error', ...omit], {
    cwd: ROOT,
    stdio: ['ignore', 2, 2],
    shell: process.platform === 'win32',
  });
  if (done.status !== 0 || !isInstalled(which)) {
    throw new Error(
      'Spyhole could not install its packages: is there internet? Then start again. The lines above say more.',
    );
  }
}

/**
 * Name, size and time of every source, in one digest.
 * @param {string} path
 * @param {import('node:crypto').Hash} hash
 */
function addToDigest(path, hash) {
  const about = statSync(path);
  if (!about.isDirectory()) {
    hash.update(`${path}\0${about.size}\0${about.mtimeMs}\n`);
    return;
  }
  for (const name of readdirSync(path).sort()) addToDigest(join(path, name), hash);
}

/** Builds collector and page if a source changed since. The answer is the collector's module. */
export async function build() {
  const hash = createHash('sha256').update(process.version);
  for (const source of SOURCES) addToDigest(join(ROOT, source), hash);
  const digest = hash.digest('hex');
  const stamp = join(BUILD, 'built');
  const main = join(BUILD, 'collector', 'main.mjs');
  if (!existsSync(stamp) || !existsSync(main) || readFileSync(stamp, 'utf8') !== digest) {
    mkdirSync(BUILD, { recursive: true });
    const esbuild = await import('esbuild');
    await esbuild.build({
      entryPoints: [join(ROOT, 'collector', 'main.ts')],
      outfile: main,
      bundle: true,
      platform: 'node',
      format: 'esm',
      target: 'node20',
      packages: 'external',
      sourcemap: true,
      logLevel: 'error',
    });
    const { buildPage } = await import('../dashboard/build.mjs');
    await buildPage(join(BUILD, 'page'));
    writeFileSync(stamp, digest);
  }
  return pathToFileURL(main).href;
}
