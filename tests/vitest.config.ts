import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

const root = fileURLToPath(new URL('..', import.meta.url));
const require = createRequire(import.meta.url);

const testsIn = (folders: readonly string[]) =>
  folders.map((folder) => `tests/${folder}/**/*.test.{ts,tsx}`);

/** Folders whose tests neither start anything nor leave anything behind. */
const pure = testsIn([
  'aperture',
  'camera',
  'figures',
  'fitting',
  'light',
  'marking',
  'notebook',
  'numerics',
  'page',
  'page-bench',
  'quantity',
  'questions',
  'reference',
  'spectrometer',
]);
/** Folders whose tests start programs, servers and browsers, and keep to themselves within their own process. */
const outside = [
  ...testsIn([
    'browser',
    'confined',
    'desk',
    'hostile',
    'jupyter',
    'kernel',
    'marker',
    'setup',
    'web',
  ]),
  // files.test.ts puts another module in the place of one that all share.
  'tests/cli/**/!(files).test.ts',
];

export default defineConfig({
  root,
  resolve: { alias: { multislit: `${root}kernel-lib/index.ts` } },
  plugins: [
    {
      // The build reads these the same way (kernel-lib/setup/bundles.mjs): a .csv or .svg file is a string, a .wasm base64.
      name: 'text-files',
      enforce: 'pre',
      resolveId: (id) => (id.endsWith('.wasm') ? `\0${id}.js` : null),
      load(id) {
        if (!id.startsWith('\0') || !id.endsWith('.wasm.js')) return null;
        const bytes = readFileSync(require.resolve(id.slice(1, -3)), 'base64');
        return `export default ${JSON.stringify(bytes)}`;
      },
      transform(code, id) {
        if (!/\.(csv|svg)$/.test(id)) return null;
        return { code: `export default ${JSON.stringify(code)}`, map: null };
      },
    },
  ],
  test: {
    // One more than two processors have work for: many tests wait for a program, a socket or a browser.
    maxWorkers: 3,
    // What waits for a process waits until it ends, however busy the machine is; after this long it hangs.
    testTimeout: 600_000,
    hookTimeout: 1_200_000,
    reporters: ['default'],
    // What is not isolated shares one set of loaded modules.
    projects: [
      { extends: true, test: { name: 'pure', include: pure, isolate: false } },
      {
        extends: true,
        test: {
          name: 'outside',
          include: outside,
          isolate: false,
          expect: { poll: { timeout: 120_000 } },
        },
      },
      {
        extends: true,
        test: {
          name: 'edges',
          include: ['tests/**/*.test.{ts,tsx}'],
          exclude: [...pure, ...outside, '**/node_modules/**'],
        },
      },
    ],
  },
});
