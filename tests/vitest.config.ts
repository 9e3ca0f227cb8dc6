import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

const root = fileURLToPath(new URL('..', import.meta.url));
const require = createRequire(import.meta.url);

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
