import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

const root = fileURLToPath(new URL('..', import.meta.url));

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
  ...testsIn(['browser', 'desk', 'hostile', 'jupyter', 'setup']),
  // files.test.ts puts another module in the place of one that all share.
  'tests/cli/**/!(files).test.ts',
];
// Processes, sockets and browsers may miss once on a busy machine; what misses twice is wrong.
const retry = process.env.CI ? 1 : 0;

export default defineConfig({
  root,
  resolve: { alias: { multislit: `${root}kernel-lib/index.ts` } },
  plugins: [
    {
      // The build reads tables the same way (kernel-lib/setup/bundles.mjs): a .csv or .svg file is a string.
      name: 'text-files',
      enforce: 'pre',
      transform(code, id) {
        if (!/\.(csv|svg)$/.test(id)) return null;
        return { code: `export default ${JSON.stringify(code)}`, map: null };
      },
    },
  ],
  test: {
    maxWorkers: 2,
    testTimeout: 60_000,
    hookTimeout: 60_000,
    reporters: ['default'],
    // What is not isolated shares one set of loaded modules.
    projects: [
      { extends: true, test: { name: 'pure', include: pure, isolate: false } },
      {
        extends: true,
        test: { name: 'outside', include: outside, isolate: false, retry },
      },
      {
        extends: true,
        test: {
          name: 'edges',
          retry,
          include: ['tests/**/*.test.{ts,tsx}'],
          exclude: [...pure, ...outside, '**/node_modules/**'],
        },
      },
    ],
  },
});
