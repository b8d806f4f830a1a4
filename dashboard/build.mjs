/** Builds the page: bundled, minified, named by content, with every asset beside it; nothing is fetched from outside. */
import { mkdir, readFile, rm, writeFile } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

const HERE = fileURLToPath(new URL('.', import.meta.url));

/** Browsers of the last few years; an older phone than that shows the page badly or not at all. */
const BROWSERS = ['chrome100', 'firefox100', 'safari15.4'];

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
 * Writes the page into `outFolder`, which is emptied first: `index.html` and beside it files whose names change with
 * their content. Throws if a source does not build or the template names a file that was not built.
 * @param {string} outFolder
 * @returns {Promise<{ files: string[] }>} what was written, by name
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
    },
    outdir: outFolder,
    bundle: true,
    minify: true,
    format: 'esm',
    target: BROWSERS,
    jsx: 'automatic',
    jsxImportSource: 'preact',
    entryNames: '[name]-[hash]',
    assetNames: '[name]-[hash]',
    loader: { '.woff2': 'file', '.svg': 'copy' },
    plugins: [oneLanguage, onlyUsedSchemas],
    metafile: true,
    logLevel: 'error',
  });
  const files = Object.keys(built.metafile.outputs).map((path) => basename(path));
  const template = await readFile(join(HERE, 'index.html'), 'utf8');
  const html = template.replace(/%(\w+)\.(\w+)%/g, (placeholder, name, kind) => {
    const file = files.find((one) => one.startsWith(`${name}-`) && one.endsWith(`.${kind}`));
    if (file === undefined) throw new Error(`index.html asks for ${placeholder}, which was not built.`);
    return file;
  });
  await writeFile(join(outFolder, 'index.html'), html);
  return { files: [...files, 'index.html'] };
}
