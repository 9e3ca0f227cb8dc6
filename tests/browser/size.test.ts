import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { gzipSync } from 'node:zlib';
import { expect, test } from 'vitest';

const page = fileURLToPath(new URL('../../.build/page', import.meta.url));

/** The script and all that it imports, at once or later. */
function scriptsFrom(name: string, found = new Map<string, Buffer>()): Map<string, Buffer> {
  if (found.has(name)) return found;
  const code = readFileSync(join(page, name));
  found.set(name, code);
  for (const [, next] of code.toString().matchAll(/["']\.\/([\w-]+\.js)["']/g))
    scriptsFrom(next, found);
  return found;
}

test('all scripts of the page but the plotting code stay within 460 kB, compressed', () => {
  const scripts = scriptsFrom('app.js');
  expect(scripts.size).toBeGreaterThan(1);
  const sizes = [...scripts.values()].map((code) => gzipSync(code).length);
  expect(sizes.reduce((sum, size) => sum + size, 0)).toBeLessThan(460_000);
});
