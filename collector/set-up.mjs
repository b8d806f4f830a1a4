/**
 * Sets up a checkout so that a command can run: installs what package-lock.json says if it is not there yet, and builds
 * the collector and the page if a source is newer than the build. Plain JavaScript, since it runs before anything is
 * installed. All that it says goes to stderr: a command's stdout is its own.
 */
import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import {
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';

export const ROOT = dirname(dirname(fileURLToPath(import.meta.url)));
/** Under node_modules, so that the top level stays as it is. */
export const BUILD = join(ROOT, 'node_modules', '.spyhole');
const BUILDS = join(BUILD, 'builds');
/** Builds that stay, those used last: a collector that runs serves its page from the one it was started with. */
const KEPT_BUILDS = 12;
/** Another start that installs is waited for so long, and looked at so often. */
const INSTALLS_WITHIN_MS = 5 * 60_000;
const LOOK_EVERY_MS = 500;
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

/** @param {number} pid */
function isAlive(pid) {
  try {
    process.kill(pid, 0);
    return true;
  } catch {
    return false;
  }
}

/**
 * Runs `work`, but never at the same time as another start of this checkout: two that install tear the packages from
 * under each other. The mark lies in the system's temporary folder, since `npm ci` empties node_modules.
 * @param {() => void} work
 */
function alone(work) {
  const mark = join(
    tmpdir(),
    `spyhole-set-up-${createHash('sha256').update(ROOT).digest('hex').slice(0, 16)}`,
  );
  const until = Date.now() + INSTALLS_WITHIN_MS;
  let mine = false;
  try {
    while (!mine && Date.now() < until) {
      mine = putMark(mark);
      if (mine) break;
      const holder = existsSync(mark) ? Number(readFileSync(mark, 'utf8')) : 0;
      if (holder > 0 && !isAlive(holder)) rmSync(mark, { force: true });
      else Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, LOOK_EVERY_MS);
    }
  } catch {
    // No mark can be kept here: it is done without.
  }
  try {
    work();
  } finally {
    if (mine) rmSync(mark, { force: true });
  }
}

/**
 * False: there is a mark already.
 * @param {string} path
 */
function putMark(path) {
  try {
    writeFileSync(path, String(process.pid), { flag: 'wx' });
    return true;
  } catch (cause) {
    if (cause instanceof Error && 'code' in cause && cause.code === 'EEXIST') return false;
    throw cause;
  }
}

/**
 * Installs if need be. Throws with one sentence if that fails.
 * @param {{ dev: boolean }} which
 */
export function install(which) {
  if (isInstalled(which)) return;
  alone(() => {
    // Another start may have done it meanwhile.
    if (!isInstalled(which)) installNow(which);
  });
}

/** @param {{ dev: boolean }} which */
function installNow(which) {
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

/**
 * Builds collector and page beside the place where they belong and puts them there whole, so that several starts at once
 * neither see nor make a half one.
 * @param {string} folder
 */
async function buildInto(folder) {
  const fresh = `${folder}.${process.pid}`;
  try {
    const esbuild = await import('esbuild');
    await esbuild.build({
      entryPoints: [join(ROOT, 'collector', 'main.ts')],
      outdir: join(fresh, 'collector'),
      outExtension: { '.js': '.mjs' },
      bundle: true,
      splitting: true,
      platform: 'node',
      format: 'esm',
      target: 'node20',
      packages: 'external',
      sourcemap: true,
      logLevel: 'error',
    });
    const { buildPage } = await import('../dashboard/build.mjs');
    await buildPage(join(fresh, 'page'));
    renameSync(fresh, folder);
  } catch (cause) {
    // Another start has put the same build there.
    if (!existsSync(folder)) throw cause;
  } finally {
    rmSync(fresh, { recursive: true, force: true });
  }
}

/** Removes the builds that were not used for longest. */
function forgetOldBuilds() {
  const builds = readdirSync(BUILDS).map((name) => {
    const path = join(BUILDS, name);
    return { path, usedMs: statSync(path, { throwIfNoEntry: false })?.mtimeMs ?? 0 };
  });
  builds.sort((a, b) => b.usedMs - a.usedMs);
  for (const { path } of builds.slice(KEPT_BUILDS)) rmSync(path, { recursive: true, force: true });
}

/** Builds collector and page if a source changed since. The answer is the collector's module. */
export async function build() {
  const hash = createHash('sha256').update(process.version);
  for (const source of SOURCES) addToDigest(join(ROOT, source), hash);
  const folder = join(BUILDS, hash.digest('hex').slice(0, 16));
  if (existsSync(folder)) {
    try {
      utimesSync(folder, new Date(), new Date());
    } catch {
      // Installed by somebody else: then its age does not matter.
    }
  } else {
    mkdirSync(BUILDS, { recursive: true });
    await buildInto(folder);
    forgetOldBuilds();
  }
  return pathToFileURL(join(folder, 'collector', 'main.mjs')).href;
}
