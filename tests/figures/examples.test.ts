import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import * as multislit from 'multislit';
import { describe, expect, test } from 'vitest';

const folder = fileURLToPath(new URL('../../kernel-lib/figures/', import.meta.url));
const examples = readdirSync(folder)
  .filter((name) => name.endsWith('.ts'))
  .flatMap((name) => {
    const text = readFileSync(folder + name, 'utf8');
    return [...text.matchAll(/@example (.+?) \/\/ ('.+')/g)].map(([, code, value]) => [
      code,
      value,
    ]);
  });

describe('examples in the docstrings', () => {
  test('every figure has one', () => {
    expect(examples.length).toBeGreaterThanOrEqual(11);
  });

  test.each(examples)('%s is %s', (code, value) => {
    const run = new Function(...Object.keys(multislit), `return [${code}, ${value}];`);
    const [is, told] = run(...Object.values(multislit));
    expect(is).toBe(told);
  });
});
