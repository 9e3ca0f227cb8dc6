import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';

/** The examples in the docstrings of quantity/ and questions/: each `@example CODE // VALUE` must come true. */
const folders = ['quantity', 'questions'].map((name) => {
  return fileURLToPath(new URL(`../../kernel-lib/${name}/`, import.meta.url));
});
const files = folders.flatMap((folder) => readdirSync(folder).map((name) => folder + name));
const names: Record<string, unknown> = {};
for (const file of files) Object.assign(names, await import(/* @vite-ignore */ file));

const examples = files.flatMap((file) => {
  const found = readFileSync(file, 'utf8').matchAll(/@example (.+?) \/\/ (.+)$/gm);
  return [...found].map(([, code, value]) => [code, value] as const);
});

test('there are examples', () => expect(examples.length).toBeGreaterThan(25));

test.each(examples)('%s is %s', (code, value) => {
  const result = new Function(...Object.keys(names), `return (${code});`)(...Object.values(names));
  if (value.startsWith("'")) return expect(result).toBe(value.slice(1, value.lastIndexOf("'")));
  const cut = /^(-?\d+\.(\d+))…/.exec(value);
  // A number that ends in … is cut, not rounded.
  if (cut) return expect(Math.abs(result - Number(cut[1]))).toBeLessThan(10 ** -cut[2].length);
  expect(result / Number.parseFloat(value)).toBeCloseTo(1, 12);
});
