// What the build makes: each entry a bundle. Everything lands in .build/, which git ignores.
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { basename, join } from 'node:path';
import { root } from './places.mjs';
import { slimCompiler } from './slim-compiler.mjs';

const inRoot = (path) => join(root, path);
const text = { '.csv': 'text', '.svg': 'text', '.wasm': 'base64' };

const inModules = ({ path }) => ({ path: inRoot(`node_modules/${path}`) });

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

/** markdown-it reads the names of letters (&lambda;), which browsers know: its tables, 75 kB, stay out. */
const lettersOfBrowser = {
  name: 'letters-of-browser',
  setup(build) {
    build.onResolve({ filter: /^entities$/ }, () => ({
      path: inRoot('kernel-lib/page/text/letter-names.ts'),
    }));
  },
};

/** The texts of the sheets, without their code. */
function sheetTexts() {
  const folders = readdirSync(inRoot('worksheets')).map((name) => inRoot(`worksheets/${name}`));
  const files = folders.map((folder) => join(folder, 'sheet.md')).filter(existsSync);
  const code = /^(`{3,})ts\n[\s\S]*?^\1`*$/gm;
  return files.map((file) => readFileSync(file, 'utf8').replace(code, ''));
}

/** Formulas of the sheets' own texts, set by the very code that the page has for all others. */
async function setFormulas({ build }) {
  const { outputFiles } = await build({
    ...forNode,
    entryPoints: [inRoot('kernel-lib/page/text/formulas-of.ts')],
    write: false,
  });
  const module = { exports: {} };
  new Function('module', 'exports', 'require', '__filename', outputFiles[0].text)(
    module,
    module.exports,
    createRequire(import.meta.url),
    '',
  );
  return module.exports.formulasOf(sheetTexts());
}

const formulasAhead = {
  name: 'formulas-ahead',
  setup(build) {
    const namespace = 'formulas-ahead';
    build.onResolve({ filter: /^formulas-ahead$/ }, ({ path }) => ({ path, namespace }));
    build.onLoad({ filter: /./, namespace }, async () => ({
      contents: JSON.stringify(await setFormulas(build.esbuild)),
      loader: 'json',
    }));
  },
};

/**
 * A page opens pictures and decodes PNG; a JPEG is drawn by the browser (page/picture/take-in.ts), whose policy lets no
 * page compile the decoder. It stays out of pages, 140 kB.
 */
const noJpegDecoder = {
  name: 'no-jpeg-decoder',
  setup(build) {
    const none = { path: 'jpeg-turbo', namespace: 'no-jpeg-decoder' };
    build.onResolve({ filter: /@cwasm\/jpeg-turbo\/jpeg-turbo\.wasm$/ }, () => none);
    build.onLoad({ filter: /./, namespace: 'no-jpeg-decoder' }, () => ({
      contents: "export default '';",
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

/** Each sheet's program for the browser: a CommonJS module that asks for the library by name. */
function sheetPrograms() {
  const sheets = Object.entries(worksheetEntries()).filter(([name]) => name.endsWith('/sheet'));
  return Object.fromEntries(
    sheets.map(([name, path]) => [`sheets/${name.split('/').at(-2)}`, path]),
  );
}

/** The compiler and tslab's converter ask for these of Node, and do without where a host gives them files. */
const withoutNode = {
  name: 'without-node',
  setup(build) {
    const none = /^(?:fs|os|perf_hooks|inspector|crypto|buffer|source-map-support|module|url)$/;
    build.onResolve({ filter: none }, ({ path }) => ({ path, namespace: 'none' }));
    build.onResolve({ filter: /^path$/ }, () => inModules({ path: 'path-browserify/index.js' }));
    build.onLoad({ filter: /./, namespace: 'none' }, () => ({ contents: '' }));
  },
};

/** Of the compiler only what is asked of it. */
const slimmed = {
  name: 'slimmed',
  setup(build) {
    build.onLoad({ filter: /typescript-for-tslab[\\/]lib[\\/]typescript\.js$/ }, ({ path }) => ({
      contents: slimCompiler(readFileSync(path, 'utf8')),
    }));
  },
};

/**
 * ajv writes a program for a schema and evaluates it, which no page of a site may. In its place stands what it writes
 * for the one schema that pages check.
 */
const schemaAhead = {
  name: 'schema-ahead',
  setup(build) {
    const written = { namespace: 'schema-ahead', path: 'nbformat' };
    build.onResolve({ filter: /^ajv-draft-04$/ }, () => ({ ...written, path: 'ajv' }));
    build.onResolve({ filter: /^nbformat$/, namespace: 'schema-ahead' }, () => written);
    build.onLoad({ filter: /^ajv$/, namespace: 'schema-ahead' }, () => ({
      contents: `import check from 'nbformat';\nexport default class { compile() { return check; } }`,
    }));
    build.onLoad({ filter: /^nbformat$/, namespace: 'schema-ahead' }, () => {
      const require = createRequire(import.meta.url);
      const { default: Ajv } = require('ajv-draft-04');
      const { default: standaloneCode } = require('ajv/dist/standalone');
      const schema = JSON.parse(readFileSync(inRoot('data/nbformat.v4.5.schema.json'), 'utf8'));
      const ajv = new Ajv({ strict: false, code: { source: true, esm: true } });
      return { contents: standaloneCode(ajv, ajv.compile(schema)), resolveDir: root };
    });
  },
};

/** Of the sun's spectrum the program reads the direct column: the others, half of the table, stay out of pages. */
const columnsRead = {
  name: 'columns-read',
  setup(build) {
    build.onLoad({ filter: /astm_g173\.csv$/ }, ({ path }) => ({
      contents: readFileSync(path, 'utf8').replace(/^(\d[^,]*),[^,]*,[^,]*,/gm, '$1,,,'),
      loader: 'text',
    }));
  },
};

/**
 * For a worker that is sent over a line. Bytes in letters of eight bits pack a quarter better than in base64, of which
 * brotli sees no repetition. What others wrote has its inner names shortened; of jstat only the distributions are used,
 * and matrices, tests and regression after them stay out.
 */
const packedTight = {
  name: 'packed-tight',
  setup(build) {
    build.onLoad({ filter: /\.wasm$/ }, ({ path }) => ({
      contents: `export default btoa(${JSON.stringify(readFileSync(path, 'latin1'))});`,
    }));
    build.onLoad({ filter: /node_modules[\\/].*\.m?js$/ }, async ({ path }) => {
      let code = readFileSync(path, 'utf8');
      if (/jstat\.js$/.test(path)) {
        const distributions = code;
        code = code.replace(
          /\/\* Provides functions for the solution of linear[\s\S]*(?=^ *\/\/ Make it comp)/m,
          '',
        );
        if (code === distributions) throw new Error(`${path} is not laid out as it was.`);
      }
      const { code: contents } = await build.esbuild.transform(code, {
        minifyIdentifiers: true,
        charset: 'utf8',
        target: 'es2022',
      });
      return { contents };
    });
  },
};

/** Whoever sends this program has the tables at hand: see figures/bench-script.ts. */
const tablesElsewhere = {
  name: 'tables-elsewhere',
  setup(build) {
    build.onLoad({ filter: /\.csv$/ }, ({ path }) => ({
      contents: `export default multislitTables[${JSON.stringify(basename(path))}];`,
    }));
  },
};

/** What a site is made of that needs nothing but a browser: see kernel-lib/web/. */
function forSite(name) {
  const shared = {
    bundle: true,
    platform: 'browser',
    target: ['es2022'],
    legalComments: 'none',
    logLevel: 'warning',
    define: { 'process.env.NODE_ENV': '"production"' },
    outdir: inRoot('.build/web'),
  };
  const worker = { ...shared, format: 'iife', loader: text };
  return [
    {
      ...shared,
      entryPoints: entries({ app: 'kernel-lib/web/main.tsx' }),
      format: 'esm',
      splitting: true,
      minify: true,
      jsx: 'automatic',
      jsxImportSource: 'preact',
      loader: { ...text, '.woff2': 'file', '.woff': 'file', '.ttf': 'file' },
      plugins: [schemaAhead, lettersOfBrowser, formulasAhead, columnsRead, noJpegDecoder],
    },
    {
      ...worker,
      entryPoints: entries({
        guard: 'kernel-lib/web/guard.ts',
        'service-worker': 'kernel-lib/web/service-worker.ts',
      }),
      minify: true,
      target: ['es2017'],
    },
    {
      ...worker,
      entryPoints: entries({ 'one-file': 'kernel-lib/web/one-file.ts' }),
      minify: true,
      alias: { fflate: 'fflate/browser' },
    },
    {
      // The page in one script, for a site in one file.
      ...worker,
      entryPoints: entries({ 'one-file-app': 'kernel-lib/web/main.tsx' }),
      minify: true,
      jsx: 'automatic',
      jsxImportSource: 'preact',
      loader: { ...text, '.woff2': 'file', '.woff': 'file', '.ttf': 'file' },
      plugins: [schemaAhead, lettersOfBrowser, formulasAhead, columnsRead, noJpegDecoder],
      define: { ...shared.define, 'import.meta.url': 'document.baseURI' },
    },
    {
      ...worker,
      entryPoints: entries({ checker: 'kernel-lib/web/checker.ts' }),
      minify: true,
      plugins: [withoutNode, slimmed],
      // What tslab asks of Node's version is which language it speaks.
      define: { ...shared.define, 'process.version': '"v20.0.0"' },
    },
    {
      ...worker,
      entryPoints: entries({
        frame: 'kernel-lib/web/frame.ts',
        runner: 'kernel-lib/web/runner.ts',
      }),
      define: { ...shared.define, ...name },
      plugins: [columnsRead, packedTight],
      charset: 'utf8',
      // Not the names: a cell that ends in `findRoot` shows them.
      minifySyntax: true,
      minifyWhitespace: true,
      alias: { fflate: 'fflate/browser' },
    },
    {
      ...shared,
      entryPoints: sheetPrograms(),
      format: 'cjs',
      loader: text,
      minifySyntax: true,
      minifyWhitespace: true,
      plugins: [shareLibrary],
    },
  ];
}

/** A page that a desk serves. */
const forPage = {
  bundle: true,
  platform: 'browser',
  format: 'esm',
  plugins: [lettersOfBrowser, formulasAhead, columnsRead, noJpegDecoder],
  splitting: true,
  minify: true,
  target: ['es2022'],
  jsx: 'automatic',
  jsxImportSource: 'preact',
  loader: { ...text, '.woff2': 'file', '.woff': 'file', '.ttf': 'file' },
  legalComments: 'linked',
  logLevel: 'warning',
  define: { 'process.env.NODE_ENV': '"production"' },
};

/**
 * The esbuild options of every bundle.
 *
 * @param build its name, by which its parts know what was made with them: see cells/ahead.ts
 */
export function bundles(build = '') {
  const outdir = inRoot('.build');
  const name = { multislitBuild: JSON.stringify(build) };
  const define = { ...forNode.define, ...name };
  const cjs = { ...forNode, outdir, outExtension: { '.js': '.cjs' }, define };
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
        'make-sheets': 'kernel-lib/kernel/make-sheets.ts',
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
      ...forPage,
      entryPoints: entries({
        app: 'kernel-lib/page/main.tsx',
        'app-style': 'kernel-lib/page/app.css',
      }),
      outdir: join(outdir, 'page'),
    },
    {
      // For instructors, apart: no hand-out and no site has it.
      ...forPage,
      entryPoints: entries({
        app: 'kernel-lib/page/view/marking/main.tsx',
        'app-style': 'kernel-lib/page/view/marking/marking.css',
      }),
      outdir: join(outdir, 'marking'),
    },
    {
      // For the phones of an audience: the bench and nothing else.
      ...forPage,
      splitting: false,
      entryPoints: entries({
        room: 'kernel-lib/page/bench/phone.tsx',
        'room-style': 'kernel-lib/page/bench/style/phone.css',
      }),
      outdir: join(outdir, 'room'),
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
      plugins: [tablesElsewhere],
      logLevel: 'warning',
      define: { 'process.env.NODE_ENV': '"production"' },
    },
    ...forSite(name),
  ];
}

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
