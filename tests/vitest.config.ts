import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

const root = fileURLToPath(new URL('..', import.meta.url));

/** Folders whose tests neither start anything nor leave anything behind: they share one set of loaded modules. */
const alike = [
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
].map((folder) => `tests/${folder}/**/*.test.{ts,tsx}`);

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
    projects: [
      { extends: true, test: { name: 'pure', include: alike, isolate: false } },
      {
        extends: true,
        test: {
          name: 'edges',
          // Processes, sockets and browsers may miss once on a busy machine; what misses twice is wrong.
          retry: process.env.CI ? 1 : 0,
          include: ['tests/**/*.test.{ts,tsx}'],
          exclude: [...alike, '**/node_modules/**'],
        },
      },
    ],
  },
});
