import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';

// Every @example in numerics/ and aperture/ has the form `expression // value` and is run here.
const home = fileURLToPath(new URL('../../kernel-lib', import.meta.url));
const files = ['numerics', 'aperture'].flatMap((folder) =>
  readdirSync(join(home, folder)).map((name) => join(home, folder, name)),
);
const scope: Record<string, unknown> = {};
for (const file of files) Object.assign(scope, await import(/* @vite-ignore */ file));

const run = (code: string) =>
  new Function(...Object.keys(scope), `return (${code})`)(...Object.values(scope));

const examples = files.flatMap((file) => {
  const found = readFileSync(file, 'utf8').matchAll(/@example (.+?) \/\/ (.+)/g);
  return [...found].map(([, code, value]) => [code, value] as const);
});

test('there are examples', () => {
  expect(examples.length).toBeGreaterThan(40);
});

test.each(examples)('%s is %s', (code, value) => {
  const [ours, theirs] = [run(code), run(value)];
  if (typeof theirs !== 'number') return expect(ours).toEqual(theirs);
  expect(Math.abs(ours - theirs)).toBeLessThanOrEqual(1e-12 * Math.max(Math.abs(theirs), 1e-9));
});
