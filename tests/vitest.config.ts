import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

const root = fileURLToPath(new URL('..', import.meta.url));

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
    include: ['tests/**/*.test.{ts,tsx}'],
    maxWorkers: 2,
    testTimeout: 60_000,
    hookTimeout: 60_000,
    reporters: ['default'],
  },
});
