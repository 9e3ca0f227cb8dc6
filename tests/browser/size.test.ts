import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { brotliCompressSync, constants, gzipSync } from 'node:zlib';
import { describe, expect, test } from 'vitest';
import { siteParts } from '../../kernel-lib/cli/site-files';
import { sheetNames } from '../../kernel-lib/kernel/sheets';

const folder = (name: string) => fileURLToPath(new URL(`../../.build/${name}`, import.meta.url));

/**
 * The script and all that it imports.
 *
 * @param how those that it cannot begin without, or at once and later
 */
function scriptsFrom(
  page: string,
  name: string,
  how: 'first' | 'all',
  found = new Map<string, Buffer>(),
): Map<string, Buffer> {
  if (found.has(name)) return found;
  const code = readFileSync(join(page, name));
  found.set(name, code);
  const imports =
    how === 'all'
      ? /["']\.\/([\w-]+\.js)["']/g
      : /(?:^|[;}])(?:import|export)[\w$\s{},*]*?(?:from)?["']\.\/([\w-]+\.js)["']/g;
  for (const [, next] of code.toString().matchAll(imports)) scriptsFrom(page, next, how, found);
  return found;
}

const compressed = (scripts: ReadonlyMap<string, Buffer>) =>
  [...scripts.values()].reduce((sum, code) => sum + gzipSync(code).length, 0);

// Of all, what works on photographs has some 34 000: it is fetched when the first photograph is wanted.
describe.each([
  ['page', { first: 155_000, worked: 350_000, all: 575_000 }],
  ['web', { first: 130_000, worked: 350_000, all: 555_000 }],
])('scripts of the page in %s, compressed', (name, most) => {
  const page = folder(name);
  const first = scriptsFrom(page, 'app.js', 'first');
  const all = scriptsFrom(page, 'app.js', 'all');

  test(`a sheet can be read after ${most.first} bytes`, () => {
    expect(first.size).toBeGreaterThan(3);
    expect(first.size).toBeLessThan(all.size);
    expect([...first.keys()].filter((name) => /^(?:editor|formula|bench)/.test(name))).toEqual([]);
    expect(compressed(first)).toBeLessThan(most.first);
  });

  test(`and be worked on after ${most.worked}`, () => {
    const editor = [...all.keys()].find((name) => name.startsWith('editor-')) as string;
    const worked = new Map([...first, ...scriptsFrom(page, editor, 'first')]);
    expect(worked.size).toBeGreaterThan(first.size);
    expect(compressed(worked)).toBeLessThan(most.worked);
  });

  test(`all but the plotting code have ${most.all} at most`, () => {
    expect(compressed(all)).toBeLessThan(most.all);
  });
});

test('what a browser can load of a site, but the plotting code, stays within 1.95 MB, compressed', () => {
  const parts = [...siteParts(sheetNames())].filter(
    ([path]) => !/plotly\.min\.js$|\.(?:woff|ttf)$/.test(path),
  );
  expect(parts.length).toBeGreaterThan(20);
  // Brotli's level 9, for its best takes ten times as long and spares some 7 %.
  const params = { [constants.BROTLI_PARAM_QUALITY]: 9 };
  const sizes = parts.map(([path, content]) =>
    path.endsWith('.woff2') ? content.length : brotliCompressSync(content, { params }).length,
  );
  expect(sizes.reduce((sum, size) => sum + size, 0)).toBeLessThan(1_950_000);
});
