import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { nodeSession } from '../kernel-lib/kernel/node-session';
import { sheetNames } from '../kernel-lib/kernel/sheets';
import { root } from '../kernel-lib/setup/places.mjs';

const readme = readFileSync(join(root, 'README.md'), 'utf8');
const examples = [...readme.matchAll(/```ts\n([\s\S]*?)```/g)].map((match) => match[1]);

test('the first paragraph states the job', () => {
  const [, first] = readme.split('\n\n');
  expect(first).toMatch(/teach diffraction/);
  expect(first).toMatch(/worksheets/);
});

test('examples run in a cell, and a line that names its value has it', async () => {
  expect(examples.length).toBeGreaterThan(0);
  for (const example of examples) {
    const session = nodeSession({ cwd: root, onOutput() {} });
    const { error } = await session.run(example);
    expect(error).toBeUndefined();
    const valued = [...example.matchAll(/^(.+); \/\/ ([-\d.e]+)$/gm)];
    expect(valued.length).toBeGreaterThan(0);
    for (const [, expression, printed] of valued) {
      const { value } = await session.run(expression);
      const digits = printed.split('.')[1]?.length ?? 0;
      expect(Number(value).toFixed(digits)).toBe(printed);
    }
  }
});

test('the table of sheets names each sheet that is there', () => {
  for (const name of sheetNames()) {
    const number = Number(name.slice(0, 2));
    expect(readme).toMatch(new RegExp(`^\\| ${number} \\p{L}`, 'mu'));
  }
});
