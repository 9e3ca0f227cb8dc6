import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { brotliCompressSync, constants, gzipSync } from 'node:zlib';
import { expect, test } from 'vitest';
import { siteParts } from '../../kernel-lib/cli/site-files';
import { sheetNames } from '../../kernel-lib/kernel/sheets';

const folder = (name: string) => fileURLToPath(new URL(`../../.build/${name}`, import.meta.url));

/** The script and all that it imports, at once or later. */
function scriptsFrom(
  page: string,
  name: string,
  found = new Map<string, Buffer>(),
): Map<string, Buffer> {
  if (found.has(name)) return found;
  const code = readFileSync(join(page, name));
  found.set(name, code);
  for (const [, next] of code.toString().matchAll(/["']\.\/([\w-]+\.js)["']/g))
    scriptsFrom(page, next, found);
  return found;
}

test.each([
  ['page', 460_000],
  ['web', 445_000],
])(
  'all scripts of the page in %s but the plotting code stay within %i bytes, compressed',
  (name, most) => {
    const scripts = scriptsFrom(folder(name), 'app.js');
    expect(scripts.size).toBeGreaterThan(1);
    const sizes = [...scripts.values()].map((code) => gzipSync(code).length);
    expect(sizes.reduce((sum, size) => sum + size, 0)).toBeLessThan(most);
  },
);

test('what a browser can load of a site, but fonts and the plotting code, stays within 1.85 MB, compressed', () => {
  const parts = [...siteParts(sheetNames())].filter(
    ([path]) => !/plotly\.min\.js$|\.(?:woff2?|ttf)$/.test(path),
  );
  expect(parts.length).toBeGreaterThan(20);
  // Brotli's level 9, for its best takes ten times as long and spares some 7 %: `npm run bench -- site-start` has that.
  const params = { [constants.BROTLI_PARAM_QUALITY]: 9 };
  const sizes = parts.map(([, content]) => brotliCompressSync(content, { params }).length);
  expect(sizes.reduce((sum, size) => sum + size, 0)).toBeLessThan(1_850_000);
});
