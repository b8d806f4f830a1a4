/** Builds the page: bundled, minified, named by content, with every asset beside it; nothing is fetched from outside. */
import { createHash } from 'node:crypto';
import { mkdir, readFile, rm, writeFile } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

const HERE = fileURLToPath(new URL('.', import.meta.url));

/** Browsers of the last few years; an older phone than that shows the page badly or not at all. */
const BROWSERS = ['chrome100', 'firefox100', 'safari15.4'];

/** What a phone's home screen and a notification show. */
const ICONS = ['icon192', 'icon512', 'maskable', 'touch', 'badge'];

/**
 * The schema library carries its messages in some fifty languages; the page shows none of them and sends one.
 * @type {import('esbuild').Plugin}
 */
const oneLanguage = {
  name: 'one-language',
  setup(plugged) {
    plugged.onLoad({ filter: /[\\/]zod[\\/]v4[\\/]locales[\\/]index\.js$/ }, ({ path }) => ({
      contents: `export { default as en } from './en.js';`,
      resolveDir: join(path, '..'),
    }));
  },
};

/**
 * As a name for the whole module the schema library's `z` can be cut down to what is used of it; as an import of its own it
 * cannot, and a third of the page's script would be schemas that no message has.
 * @type {import('esbuild').Plugin}
 */
const onlyUsedSchemas = {
  name: 'only-used-schemas',
  setup(plugged) {
    // The library can also write schemas down as JSON Schema, which no page does.
    plugged.onLoad({ filter: /[\\/]zod[\\/]v4[\\/]core[\\/]to-json-schema\.js$/ }, async ({ path }) => {
      const names = [...(await readFile(path, 'utf8')).matchAll(/^export (?:function|const) (\w+)/gm)];
      return {
        contents: names.map(([, name]) => `export const ${name} = () => () => undefined;`).join('\n'),
      };
    });
    plugged.onLoad({ filter: /[\\/](protocol|collector|dashboard)[\\/].*\.tsx?$/ }, async ({ path }) => ({
      contents: (await readFile(path, 'utf8')).replace(
        /^import (type )?\{ z \} from 'zod';$/m,
        "import $1* as z from 'zod';",
      ),
      loader: path.endsWith('x') ? 'tsx' : 'ts',
    }));
  },
};

/**
 * The scripts that neither the page as it opens nor a language needs.
 * @param {import('esbuild').Metafile['outputs']} outputs
 * @returns {ReadonlySet<string>}
 */
function scriptsOfRooms(outputs) {
  const needed = new Set();
  /** @param {string} path */
  const need = (path) => {
    if (needed.has(path)) return;
    needed.add(path);
    for (const { path: next, kind } of outputs[path]?.imports ?? [])
      if (kind !== 'dynamic-import') need(next);
  };
  for (const path of Object.keys(outputs)) if (/^(main|english|german)-/.test(basename(path))) need(path);
  const scripts = Object.keys(outputs).filter((path) => path.endsWith('.js'));
  return new Set(scripts.filter((path) => !needed.has(path)).map((path) => basename(path)));
}

/**
 * Writes the page into `outFolder`, which is emptied first: `index.html`, what a phone installs it by, and its worker; the
 * files beside them have names that change with their content. Throws if a source does not build or the template names a file that was not built.
 * @param {string} outFolder
 * @returns {Promise<{ files: string[], later: ReadonlySet<string> }>} what was written, by name, and of it the scripts that are
 * fetched with a room that is entered later
 */
export async function buildPage(outFolder) {
  await rm(outFolder, { recursive: true, force: true });
  await mkdir(outFolder, { recursive: true });
  const built = await build({
    entryPoints: {
      main: join(HERE, 'main.tsx'),
      page: join(HERE, 'styles/page.css'),
      night: join(HERE, 'styles/tokens-night.css'),
      icon: join(HERE, 'icon.svg'),
      ...Object.fromEntries(ICONS.map((name) => [name, join(HERE, 'icons', `${name}.png`)])),
    },
    outdir: outFolder,
    bundle: true,
    minify: true,
    format: 'esm',
    target: BROWSERS,
    jsx: 'automatic',
    jsxImportSource: 'preact',
    splitting: true,
    entryNames: '[name]-[hash]',
    chunkNames: '[name]-[hash]',
    assetNames: '[name]-[hash]',
    loader: { '.woff2': 'file', '.svg': 'copy', '.png': 'copy' },
    plugins: [oneLanguage, onlyUsedSchemas],
    metafile: true,
    logLevel: 'error',
  });
  const { outputs } = built.metafile;
  const files = Object.keys(outputs).map((path) => basename(path));
  const later = scriptsOfRooms(outputs);
  /** @param {string} name @param {string} kind */
  const named = (name, kind) => files.find((one) => one.startsWith(`${name}-`) && one.endsWith(`.${kind}`));
  /** @param {string} template */
  const filledIn = async (template) =>
    (await readFile(join(HERE, template), 'utf8')).replace(/%(\w+)\.(\w+)%/g, (placeholder, name, kind) => {
      const file = named(name, kind);
      if (file === undefined) throw new Error(`${template} asks for ${placeholder}, which was not built.`);
      return file;
    });
  const html = await filledIn('index.html');
  await writeFile(join(outFolder, 'index.html'), html);
  await writeFile(join(outFolder, 'manifest.webmanifest'), await filledIn('manifest.webmanifest'));
  const shell = {
    // Any change of the page makes it another worker, which fetches the whole of it anew.
    version: createHash('sha256').update(`${html}${files.sort().join()}`).digest('hex').slice(0, 16),
    files: ['index.html', ...files.filter((name) => !later.has(name) && !/^(english|german)-/.test(name))],
    // Sent to those alone whose page speaks it.
    spoken: { en: [named('english', 'js')], de: [named('german', 'js')] },
    icon: named('icon192', 'png'),
    badge: named('badge', 'png'),
  };
  await build({
    entryPoints: [join(HERE, 'worker/worker.ts')],
    outfile: join(outFolder, 'worker.js'),
    bundle: true,
    minify: true,
    format: 'iife',
    target: BROWSERS,
    define: { SHELL: JSON.stringify(shell) },
    plugins: [oneLanguage, onlyUsedSchemas],
    logLevel: 'error',
  });
  return { files: [...files, 'index.html', 'manifest.webmanifest', 'worker.js'], later };
}
