// What the build makes: each entry a bundle. Everything lands in .build/, which git ignores.
import { existsSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { root } from './places.mjs';

const inRoot = (path) => join(root, path);
const text = { '.csv': 'text', '.svg': 'text', '.wasm': 'base64' };

/** Packages that Node loads from node_modules: native, patched in place, or too large to copy. */
const external = ['tslab', 'tslab/*', '@tslab/*', 'zeromq', 'esbuild', 'typescript'];

/** Bundles for the kernel share one library: `./index.cjs`, the very instance that cells import. */
const shareLibrary = {
  name: 'share-library',
  setup(build) {
    build.onResolve({ filter: /^multislit$/ }, () => ({ path: 'multislit', external: true }));
    build.onResolve({ filter: /^\.\.?\/(.*\/)?index$/ }, ({ path, resolveDir }) =>
      join(resolveDir, path) === inRoot('kernel-lib/index')
        ? { path: 'multislit', external: true }
        : undefined,
    );
  },
};

/** markdown-it reads the names of letters (&lambda;) and writes none: their other table, 23 kB, stays out. */
const noNamesWritten = {
  name: 'no-names-written',
  setup(build) {
    build.onLoad({ filter: /entities[\\/]lib[\\/]esm[\\/]generated[\\/]encode-html\.js$/ }, () => ({
      contents: 'export default new Map();',
    }));
  },
};

const forNode = {
  bundle: true,
  platform: 'node',
  format: 'cjs',
  target: 'node20',
  loader: text,
  sourcemap: false,
  legalComments: 'none',
  logLevel: 'warning',
  define: { 'import.meta.url': 'multislitFileUrl' },
  banner: { js: "const multislitFileUrl = require('node:url').pathToFileURL(__filename).href;" },
};

const entries = (pairs) =>
  Object.fromEntries(Object.entries(pairs).map(([name, path]) => [name, inRoot(path)]));

export function worksheetEntries() {
  const folders = readdirSync(inRoot('worksheets'), { withFileTypes: true }).filter((entry) =>
    entry.isDirectory(),
  );
  const parts = folders.flatMap(({ name }) =>
    ['sheet', 'key'].map((part) => `worksheets/${name}/${part}`),
  );
  // A sheet that is being written may have no key yet.
  return entries(
    Object.fromEntries(
      parts.map((part) => [part, `${part}.ts`]).filter(([, path]) => existsSync(inRoot(path))),
    ),
  );
}

/** The esbuild options of every bundle. */
export function bundles() {
  const outdir = inRoot('.build');
  const cjs = { ...forNode, outdir, outExtension: { '.js': '.cjs' } };
  return [
    {
      ...cjs,
      entryPoints: entries({ index: 'kernel-lib/index.ts' }),
      external,
      // Not the names: a cell that ends in `findRoot` shows them.
      minifySyntax: true,
      minifyWhitespace: true,
      // Its form for Node loads worker threads that are not used here; each return starts a process.
      alias: { fflate: 'fflate/browser' },
    },
    {
      ...cjs,
      entryPoints: entries({
        cli: 'kernel-lib/cli/main.ts',
        kernel: 'kernel-lib/kernel/main.ts',
        'control-worker': 'kernel-lib/kernel/control-worker.ts',
        confined: 'kernel-lib/confined/child.ts',
        convert: 'kernel-lib/confined/convert.ts',
      }),
      external,
      plugins: [shareLibrary],
    },
    {
      ...cjs,
      entryPoints: worksheetEntries(),
      outbase: root,
      external,
      plugins: [shareLibrary],
    },
    {
      entryPoints: entries({
        app: 'kernel-lib/page/main.tsx',
        'app-style': 'kernel-lib/page/app.css',
      }),
      outdir: join(outdir, 'page'),
      bundle: true,
      platform: 'browser',
      format: 'esm',
      plugins: [noNamesWritten],
      splitting: true,
      minify: true,
      target: ['es2022'],
      jsx: 'automatic',
      jsxImportSource: 'preact',
      loader: { ...text, '.woff2': 'file', '.woff': 'file', '.ttf': 'file' },
      legalComments: 'linked',
      logLevel: 'warning',
      define: { 'process.env.NODE_ENV': '"production"' },
    },
    {
      // The bench alone, complete in itself, for notebooks that know nothing of the page.
      entryPoints: entries({ 'bench-cell': 'kernel-lib/page/bench/cell-script.tsx' }),
      outdir,
      bundle: true,
      platform: 'browser',
      format: 'iife',
      minify: true,
      target: ['es2022'],
      jsx: 'automatic',
      jsxImportSource: 'preact',
      loader: { ...text, '.css': 'text' },
      logLevel: 'warning',
      define: { 'process.env.NODE_ENV': '"production"' },
    },
  ];
}

const inModules = ({ path }) => ({ path: inRoot(`node_modules/${path}`) });

/** The options for the benches: sources run as they are written, so that a bench may import any file. */
export function forBench(names, outdir) {
  return {
    entryPoints: Object.fromEntries(names.map((name) => [name, inRoot(`tests/bench/${name}.ts`)])),
    outdir,
    outExtension: { '.js': '.mjs' },
    bundle: true,
    platform: 'node',
    format: 'esm',
    target: 'node20',
    loader: text,
    packages: 'external',
    // Not left to Node, which would load it as a module of its own.
    plugins: [
      { name: 'wasm', setup: (build) => build.onResolve({ filter: /\.wasm$/ }, inModules) },
    ],
    logLevel: 'warning',
    alias: { multislit: inRoot('kernel-lib/index.ts') },
    banner: { js: `const benchRoot = ${JSON.stringify(root)};` },
    define: { 'import.meta.dirname': JSON.stringify(inRoot('tests/bench')) },
  };
}
